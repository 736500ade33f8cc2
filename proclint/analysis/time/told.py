"""What shows that a window cannot be kept, in words: a sum with its terms, or bounds that are too much together."""

from collections.abc import Iterable

from proclint.analysis.time.keeping import Added, Clash, Kept
from proclint.analysis.time.laying import Piece
from proclint.analysis.time.lengths import Hand
from proclint.analysis.time.spoken import spoken
from proclint.analysis.time.stn import Kind

# More terms than these and a reader sees nothing: then each step is one.
_MOST_TERMS = 8
_OF_LINE = {
    Kind.AT_LEAST: "takes {}",
    Kind.AT_MOST: "takes no longer than {}",
    Kind.AS_SHORT_AS: "may take only {}",
    Kind.AS_LONG_AS: "may take {}",
}
_OF_WINDOW = {Kind.AT_LEAST: "lasts at least {}", Kind.AT_MOST: "lasts at most {}"}


def summed(added: Added, hand: Hand) -> str:
    """Say a sum term by term, what is done more than once as one term: `4 x turn O1 on 2 s + wait 3 s`."""
    by_line = _terms((piece.words, piece.length.worst[hand]) for piece in _shown(added))
    if len(by_line) > _MOST_TERMS:
        by_line = _terms((piece.step.name if piece.step is not None else "", piece.length.worst[hand]) for piece in _shown(added))
        return " + ".join(f"'{name}' {spoken(ms)}" for name, (_, ms) in by_line.items())
    return " + ".join(f"{f'{often} x ' if often > 1 else ''}'{words}' {spoken(ms)}" for words, (often, ms) in by_line.items())


def _shown(added: Added) -> Iterable[Piece]:
    return (piece for piece in added.pieces if piece.step is not None)


def _terms(pairs: Iterable[tuple[str, int]]) -> dict[str, tuple[int, int]]:
    """Gather how often each thing is done and how long it lasts in all."""
    found: dict[str, tuple[int, int]] = {}
    for words, ms in pairs:
        often, before = found.get(words, (0, 0))
        found[words] = often + 1, before + ms
    return found


def clashing(clash: Clash) -> str:
    """Say the bounds that cannot all be kept, each once."""
    return "; ".join(dict.fromkeys(map(_bound, clash.bounds)))


def _bound(kept: Kept) -> str:
    if kept.piece is None:
        return f"'{kept.window}' {_OF_WINDOW[kept.kind].format(spoken(kept.ms))}"
    return f"'{kept.piece.words}' {_OF_LINE[kept.kind].format(spoken(kept.ms))}"
