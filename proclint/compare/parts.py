"""Windows, the file's own cautions, and endings in two versions."""

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

from proclint.compare import said
from proclint.compare.difference import Difference, Weight, What, of_bound
from proclint.compare.pair import Pair, Places
from proclint.model import Caution, End, Window, Word

_Part = TypeVar("_Part", Window, Caution, End, Word)


def each_part(
    old: Mapping[str, _Part],
    new: Mapping[str, _Part],
    differing: Callable[[_Part, _Part], Iterator[Difference]],
    alone: Callable[[_Part, Places], Difference],
) -> Iterator[Difference]:
    """Tell of parts by name: those that differ, those in one version only (`alone`, with their place in it)."""
    for name, part in old.items():
        if name in new:
            yield from differing(part, new[name])
        else:
            yield alone(part, (part.at, None))
    for name, part in new.items():
        if name not in old:
            yield alone(part, (None, part.at))


def of_windows(pair: Pair) -> Iterator[Difference]:
    """Tell how windows differ."""
    return each_part(pair.old.flow.windows, pair.new.flow.windows, _window, _lone_window)


def _window(old: Window, new: Window) -> Iterator[Difference]:
    at = old.at, new.at
    for what, is_least in (("at most", False), ("at least", True)):
        before, now = ((each.at_least if is_least else each.at_most) for each in (old, new))
        if before != now:
            weight = of_bound(before, now, is_least=is_least)
            yield Difference(What.WINDOW, weight, *at, f"Window '{new.name}': {what} {_bound(now)}, before {_bound(before)}.")
    if old.late != new.late:
        text = f"Who is late in window '{new.name}' goes to {_late(new)}, before to {_late(old)}."
        yield Difference(What.WAY, Weight.OTHER, *at, text)
    sources = [[word.text for word in each.sources] for each in (old, new)]
    if sources[0] != sources[1]:
        text = f"The source of window '{new.name}' is {said.words(sources[1])}, before {said.words(sources[0])}."
        yield Difference(What.SOURCE, Weight.UPKEEP, *at, text)


def _bound(milliseconds: int | None) -> str:
    return said.time(milliseconds) if milliseconds is not None else "any time"


def _late(window: Window) -> str:
    return f"'{window.late}'" if window.late else "where the closing step fails"


def _lone_window(window: Window, at: Places) -> Difference:
    bounds = (("at most", window.at_most), ("at least", window.at_least))
    bound = " and ".join(f"{what} {said.time(given)}" for what, given in bounds if given is not None)
    text = f"The window '{window.name}' ({bound}) is {gone_or_new(at)}."
    return Difference(What.WINDOW, lone_guard(at), *at, text)


def gone_or_new(at: Places) -> str:
    """Say whether what stands in one version only is gone or new."""
    return "gone" if at[1] is None else "new"


def lone_guard(at: Places) -> Weight:
    """Weigh a guard that stands in one version only."""
    return Weight.LOST if at[1] is None else Weight.GAINED


def of_cautions(pair: Pair) -> Iterator[Difference]:
    """Tell how the cautions differ that the file words itself."""
    return each_part(pair.old.flow.cautions, pair.new.flow.cautions, _caution, _lone_caution)


def _caution(old: Caution, new: Caution) -> Iterator[Difference]:
    if old.signal != new.signal:
        text = f"The signal word of '{new.name}' is {new.signal}, before {old.signal}."
        weight = Weight.LOST if _strength(new) > _strength(old) else Weight.GAINED
        yield Difference(What.CAUTION, weight, old.at, new.at, text)
    for part, before, now in (
        ("hazard", old.hazard, new.hazard),
        ("consequence", old.consequence, new.consequence),
        ("way to avoid it", old.avoid, new.avoid),
    ):
        if before != now:
            text = f"The {part} in the caution '{new.name}' reads '{now}', before '{before}'."
            yield Difference(What.CAUTION, Weight.OTHER, old.at, new.at, text)


def _strength(caution: Caution) -> int:
    return ("danger", "warning", "caution", "notice").index(caution.signal)


def _lone_caution(caution: Caution, at: Places) -> Difference:
    text = f"The words of the caution '{caution.name}' are {gone_or_new(at)}: {caution.hazard}"
    return Difference(What.CAUTION, lone_guard(at), *at, f"{text.rstrip('.')}.")


def of_ends(pair: Pair) -> Iterator[Difference]:
    """Tell how endings, or a block's exits, differ."""
    yield from each_part(pair.old.flow.ends, pair.new.flow.ends, _end, _lone_end)
    first = [next(iter(study.flow.ends.values())) for study in (pair.old, pair.new)]
    if not first[1].kind and first[0].name != first[1].name:
        text = f"The exit that the block is meant to end by is '{first[1].name}', before '{first[0].name}'."
        yield Difference(What.ENDING, Weight.OTHER, first[0].at, first[1].at, text)


def _end(old: End, new: End) -> Iterator[Difference]:
    at = old.at, new.at
    if old.kind != new.kind:
        is_good = [each.kind == "success" for each in (old, new)]
        weight = Weight.OTHER if is_good[0] == is_good[1] else Weight.MORE if is_good[1] else Weight.LESS
        text = f"The ending '{new.name}' counts as {new.kind}, before as {old.kind}."
        yield Difference(What.ENDING, weight, *at, text)
    calls = [(each.through, each.through_version) for each in (old, new)]
    if calls[0] != calls[1]:
        weight = Weight.OTHER if old.through and new.through else Weight.LOST if old.through else Weight.GAINED
        text = f"Before the ending '{new.name}', {_through(new)} is run, before {_through(old)}."
        yield Difference(What.BLOCK, weight, *at, text)
    if old.tell != new.tell:
        text = f"At '{new.name}' the customer is told '{new.tell}', before '{old.tell}'."
        yield Difference(What.TEXT, Weight.WORDS, *at, text)


def _through(end: End) -> str:
    return f"'{end.through}' {end.through_version or 'of any version'}" if end.through else "nothing"


def _lone_end(end: End, at: Places) -> Difference:
    kind = f"The ending '{end.name}' ({end.kind})" if end.kind else f"The exit '{end.name}'"
    text = f"{kind} is {gone_or_new(at)}."
    return Difference(What.ENDING, Weight.OTHER, *at, text)
