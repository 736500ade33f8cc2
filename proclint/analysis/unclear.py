"""Phrases that are not clear, and those by which other things are told: all of them looked for in all texts at once."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from proclint.analysis.sentences import Stretch
from proclint.analysis.stretches import doubled
from proclint.analysis.texts import COMMANDS, WORK, Said, is_shouted, plain
from proclint.catalogue import Catalogue, UnclearWord

# More texts than a large library has different ones; each keeps about 0.5 kB.
_KEPT = 16_384
# In which texts phrases of a group are looked for: what the customer is told is no work, and only a sign can be hidden.
_LOOKED_FOR: Mapping[str, frozenset[str]] = {
    "ambiguous": COMMANDS | {"means", "ask"},
    "vague": COMMANDS | {"means", "expect"},
    "sides": WORK,
    "pronouns": frozenset({"instruction", "act", "means"}),
    "terms": WORK,
    "lamps": COMMANDS | {"means", "ask", "expect"},
    "paraphrases": frozenset({"instruction", "act"}),
    "retold": frozenset(),
    "hidden": frozenset({"expect"}),
    "numbered": WORK,
}


@dataclass(frozen=True, slots=True)
class Hit:
    """A phrase in a text, as it is written there; `index` is the text's own."""

    said: Said = field(compare=False)
    index: int
    start: int
    end: int
    phrase: str

    @property
    def text(self) -> str:
        """The words as they are written."""
        return self.said.text[self.start : self.end]


class Unclear(NamedTuple):
    """A phrase that is not clear, and the entry that says why."""

    hit: Hit
    word: UnclearWord


class Read(NamedTuple):
    """What one text says, wherever it stands: phrases with start and end, and clauses with two words that say no."""

    phrases: tuple[tuple[int, int, str], ...]
    doubled: tuple[tuple[Stretch, int], ...]


# The same text stands in many files, and in the next version of this one.
@lru_cache(maxsize=_KEPT)
def read(text: str, catalogue: Catalogue) -> Read:
    """Read a text; a phrase is left out where it is the screen's own word."""
    small = plain(text)
    found = catalogue.phrases.spans(small)
    phrases = tuple((start, end, phrase) for start, end, phrase in found if not is_shouted(text[start:end], text))
    return Read(phrases, doubled(small, catalogue.speech))


def hits(texts: Sequence[Said], reads: Sequence[Read]) -> Mapping[str, list[Hit]]:
    """Give where each phrase stands. Nothing is looked for in what the customer is told."""
    found: dict[str, list[Hit]] = {}
    for index, each in enumerate(reads):
        if each.phrases and texts[index].kind != "tell":
            for start, end, phrase in each.phrases:
                found.setdefault(phrase, []).append(Hit(texts[index], index, start, end, phrase))
    return found


def unclear(found: Mapping[str, list[Hit]], catalogue: Catalogue) -> Mapping[str, tuple[Unclear, ...]]:
    """Give the phrases of each group that nothing in their text makes clear, in file order, the longest where they overlap."""
    known = catalogue.unclear_by_phrase
    met = (Unclear(hit, known[phrase]) for phrase in found.keys() & known.keys() for hit in found[phrase])
    kept = [each for each in met if each.hit.said.kind in _LOOKED_FOR[each.word.group] and not _is_clear(each, catalogue)]
    by_group: dict[str, list[Unclear]] = defaultdict(list)
    for each in _longest(kept):
        by_group[each.word.group].append(each)
    return {group: tuple(all_of) for group, all_of in by_group.items()}


def _is_clear(each: Unclear, catalogue: Catalogue) -> bool:
    text = plain(each.hit.said.text)
    return any(catalogue.phrases.stands_in(phrase, text) for phrase in each.word.clear_with)


def _longest(met: Iterable[Unclear]) -> Iterator[Unclear]:
    last: Hit | None = None
    for each in sorted(met, key=lambda each: (each.hit.index, each.hit.start, -each.hit.end)):
        if last is None or each.hit.index != last.index or each.hit.start >= last.end:
            last = each.hit
            yield each
