"""The lines of a step in two versions: which are the same, which differ, which are gone, new or elsewhere.

Lines are aligned by what they do, as long a common part as can be found (Ratcliff and Metzener 1988, as in the standard library's
difflib); between two common parts lines of one verb are taken for each other.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import NamedTuple, TypeAlias

from proclint.catalogue import Catalogue, read_duration
from proclint.compare import guards, said
from proclint.compare.amounts import meant
from proclint.compare.difference import Difference, Weight, What, of_bound
from proclint.model import Line

Key: TypeAlias = tuple[str, tuple[tuple[str, str], ...]]


class LinePairs(NamedTuple):
    """Lines of two versions of a step: those that are taken for each other, those in one version only, those moved."""

    pairs: tuple[tuple[Line, Line], ...]
    removed: tuple[Line, ...]
    added: tuple[Line, ...]
    moved: tuple[tuple[Line, Line], ...]


def key_of(line: Line) -> Key:
    """Say what a line does, however it is written."""
    return line.verb, tuple(sorted((name, meant(word)) for name, word in line.words.items()))


def is_answer(line: Line) -> bool:
    """Whether a line is the answer to its step's prompt."""
    return line.at.path[-2:] == ("prompt", "answer")


def paired(old: tuple[Line, ...], new: tuple[Line, ...]) -> LinePairs:
    """Align the lines of a step."""
    pairs, removed, added = _aligned(old, new)
    moved = []
    for line in list(removed):
        other = next((each for each in added if key_of(each) == key_of(line)), None)
        if other is not None:
            moved.append((line, other))
            removed.remove(line)
            added.remove(other)
    return LinePairs(tuple(pairs), tuple(removed), tuple(added), tuple(moved))


def _aligned(old: tuple[Line, ...], new: tuple[Line, ...]) -> tuple[list[tuple[Line, Line]], list[Line], list[Line]]:
    first, second = (list(map(key_of, lines)) for lines in (old, new))
    # The matcher does not give the same for two lists and for their exchange; in one order of the two it does.
    is_turned = second < first
    matcher = SequenceMatcher(None, second if is_turned else first, first if is_turned else second, autojunk=False)
    pairs: list[tuple[Line, Line]] = []
    removed: list[Line] = []
    added: list[Line] = []
    for tag, *bounds in matcher.get_opcodes():
        one, other = (slice(*bounds[2:]), slice(*bounds[:2])) if is_turned else (slice(*bounds[:2]), slice(*bounds[2:]))
        if tag == "equal":
            pairs += zip(old[one], new[other], strict=True)
        else:
            left, right = list(old[one]), list(new[other])
            pairs += _by_verb(left, right)
            removed += left
            added += right
    return pairs, removed, added


def _by_verb(left: list[Line], right: list[Line]) -> Iterator[tuple[Line, Line]]:
    """Take lines of one verb for each other, in order, and take them out of both lists."""
    for line in list(left):
        other = next((each for each in right if each.verb == line.verb), None)
        if other is not None:
            left.remove(line)
            right.remove(other)
            yield line, other


def of_pair(old: Line, new: Line, step: str, catalogue: Catalogue) -> Iterator[Difference]:
    """Tell how a line differs that is done in both versions."""
    told = _Told(old, new, step)
    if key_of(old) != key_of(new) and not (is_answer(old) and is_answer(new)):
        yield told(What.ACTION, _weight(old, new), f"'{new.text}' is done, before it was '{old.text}'")
    if old.only_if != new.only_if:
        yield told(guards.what_of(new, catalogue), _of_condition(old, new, catalogue), _condition(old, new))
    if old.repeat != new.repeat:
        yield told(What.ACTION, Weight.OTHER, f"'{new.text}' is done {new.repeat} times, before {old.repeat}")
    if old.by != new.by:
        yield told(What.ACTION, Weight.OTHER, f"'{new.text}' is done by the {new.by}, before by the {old.by}")
    yield from _signs(told)
    yield from _times(told)
    yield from _marks(told)
    sources = [[word.text for word in line.sources] for line in (old, new)]
    if sources[0] != sources[1]:
        text = f"the source of '{new.text}' is {said.words(sources[1])}, before {said.words(sources[0])}"
        yield told(What.SOURCE, Weight.UPKEEP, text)


@dataclass(frozen=True, slots=True)
class _Told:
    """Makes differences of one pair of lines."""

    old: Line
    new: Line
    step: str

    def __call__(self, what: What, weight: Weight, text: str) -> Difference:
        return Difference(what, weight, self.old.at, self.new.at, f"In '{self.step}', {text}.")


def _weight(old: Line, new: Line) -> Weight:
    """Weigh a line whose words differ: a shorter wait lets more happen."""
    name = old.action.takes
    times = [read_duration(line.words.get(name, "")) if isinstance(name, str) else None for line in (old, new)]
    if times[0] is None or times[1] is None or not _is_wait(old):
        return Weight.OTHER
    bounds = (times[0].least, times[0].most), (times[1].least, times[1].most)
    return of_bound(bounds[0][0], bounds[1][0], is_least=True) if bounds[0][0] != bounds[1][0] else Weight.OTHER


def _is_wait(line: Line) -> bool:
    """Whether time is all that the line gives."""
    return list(line.action.parameters) == [line.action.takes]


def _of_condition(old: Line, new: Line, catalogue: Catalogue) -> Weight:
    if old.only_if and new.only_if:
        return Weight.OTHER
    return guards.weight_of(new, catalogue, is_gone=bool(new.only_if))


def _condition(old: Line, new: Line) -> str:
    if not new.only_if:
        return f"'{new.text}' is always done, before only if {old.only_if}"
    return f"'{new.text}' is done only if {new.only_if}, before {f'only if {old.only_if}' if old.only_if else 'always'}"


def _signs(told: _Told) -> Iterator[Difference]:
    old, new = told.old, told.new
    if old.expect != new.expect:
        weight = Weight.OTHER if old.expect and new.expect else Weight.GAINED if new.expect else Weight.LOST
        text = f"'{new.text}' has worked when {said.listed(new.expect)} is seen, before {said.listed(old.expect)}"
        if not new.expect:
            text = f"no sign is looked for any more at '{new.text}'; before it was '{old.expect}'"
        yield told(What.ACTION, weight, text)
    if old.within != new.within:
        now, before = (said.time(each) if each is not None else "any time" for each in (new.within, old.within))
        text = f"the sign at '{new.text}' may take {now}, before {before}"
        yield told(What.TIME, of_bound(old.within, new.within), text)


def _times(told: _Told) -> Iterator[Difference]:
    old, new = told.old, told.new
    if old.takes != new.takes:
        text = f"'{new.text}' takes {said.duration(new.takes)}, before {said.duration(old.takes)}"
        yield told(What.TIME, Weight.OTHER, text)
    if old.every != new.every:
        now, before = (f"every {said.time(each)}" if each is not None else "once" for each in (new.every, old.every))
        yield told(What.TIME, of_bound(old.every, new.every), f"'{new.text}' is done {now}, before {before}")


def _marks(told: _Told) -> Iterator[Difference]:
    for verb, old, new in (("open", told.old.opens, told.new.opens), ("close", told.old.closes, told.new.closes)):
        edges = [{mark.window: mark.edge for mark in each} for each in (old, new)]
        for window, edge in edges[0].items():
            now = edges[1].get(window)
            if now is None:
                text = f"'{told.old.text}' no longer {verb}s the window '{window}' at its {edge}"
                yield told(What.WINDOW, Weight.LOST, text)
            elif now != edge:
                text = f"'{told.new.text}' {verb}s the window '{window}' at its {now}, before at its {edge}"
                yield told(What.WINDOW, Weight.OTHER, text)
        for window, edge in edges[1].items():
            if window not in edges[0]:
                text = f"'{told.new.text}' now {verb}s the window '{window}' at its {edge}"
                yield told(What.WINDOW, Weight.GAINED, text)
