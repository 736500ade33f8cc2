"""Cautions and lines that left a step or came into one: those that only went from one step to another are told as that."""

from collections.abc import Callable, Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

from proclint.analysis import Study
from proclint.catalogue import Catalogue
from proclint.compare import guards, said
from proclint.compare.align import Aligned
from proclint.compare.difference import Difference, Weight, What, of_presence
from proclint.compare.lines import is_answer, key_of, paired
from proclint.model import Line, Step
from proclint.source import Place


class Loose(NamedTuple):
    """A caution or line that stands in a step in one version only; `is_of_both` where the step itself is in both."""

    of: object
    name: str
    step: str
    at: Place
    what: What
    weight: Weight
    is_of_both: bool


class Travels(NamedTuple):
    """What went from one step to another, and what is gone from, or new in, the steps that both versions have."""

    went: tuple[tuple[Loose, Loose], ...]
    gone: tuple[Loose, ...]
    new: tuple[Loose, ...]

    def left_of(self, step: Step) -> Step:
        """Give a step that is in one version only without what went to another, or came from there."""
        gone = {each.at for pair in self.went for each in pair}
        lines = tuple(line for line in step.lines if line.at not in gone)
        return step._replace(lines=lines, cautions=tuple(word for word in step.cautions if word.at not in gone))


def travels(old: Study, new: Study, aligned: Aligned) -> Travels:
    """Follow cautions and lines between two versions, the old one under the names of the new.

    Between two steps of which neither is in both versions nothing is followed: one was put in the place of the other.
    """
    gone, came = list[Loose](), list[Loose]()
    for name, step in old.flow.steps.items():
        other = new.flow.steps.get(name)
        if other is not None:
            lines = paired(step.lines, other.lines)
            gone += _loose(step, lines.removed, old.catalogue, other=other, is_gone=True)
            came += _loose(other, lines.added, new.catalogue, other=step, is_gone=False)
    for name in aligned.steps.removed:
        gone += _loose(old.flow.steps[name], old.flow.steps[name].lines, old.catalogue, is_gone=True)
    for name in aligned.steps.added:
        came += _loose(new.flow.steps[name], new.flow.steps[name].lines, new.catalogue, is_gone=False)
    went = (*_met(gone, came, lambda lost, found: lost.is_of_both and found.is_of_both),)
    went += (*_met(gone, came, lambda lost, found: lost.is_of_both != found.is_of_both),)
    return Travels(went, *(tuple(each for each in some if each.is_of_both) for some in (gone, came)))


def _loose(
    step: Step, lines: Iterable[Line], catalogue: Catalogue, *, other: Step | None = None, is_gone: bool
) -> Iterator[Loose]:
    is_of_both = other is not None
    known = {word.text for word in other.cautions} if other is not None else frozenset()
    weight = of_presence(is_guard=True, adds=False, is_gone=is_gone)
    for word in step.cautions:
        if word.text not in known:
            yield Loose(word.text, word.text, step.name, word.at, What.CAUTION, weight, is_of_both)
    # An answer is told with its prompt.
    for line in (each for each in lines if not is_answer(each)):
        weight = guards.weight_of(line, catalogue, is_gone=is_gone)
        yield Loose(key_of(line), line.text, step.name, line.at, guards.what_of(line, catalogue), weight, is_of_both)


def _met(gone: list[Loose], came: list[Loose], may_meet: Callable[[Loose, Loose], bool]) -> Iterator[tuple[Loose, Loose]]:
    """Take out what left one step and came into another."""
    for lost in list(gone):
        same = (each for each in came if (each.of, each.what) == (lost.of, lost.what) and may_meet(lost, each))
        found = next(same, None)
        if found is not None:
            gone.remove(lost)
            came.remove(found)
            yield lost, found


def of_travels(travels: Travels) -> Iterator[Difference]:
    """Tell what went from one step to another, what is gone from a step and what is new in one."""
    for (what, left, entered), same in groupby(travels.went, key=lambda pair: (pair[0].what, pair[0].step, pair[1].step)):
        pairs = list(same)
        is_one = len(pairs) == 1
        named = said.names(lost.name for lost, _ in pairs)
        noun = "" if what is not What.CAUTION else "The caution " if is_one else "The cautions "
        text = f"{noun}{named} went from '{left}' to '{entered}'."
        yield Difference(what, Weight.OTHER, pairs[0][0].at, pairs[0][1].at, text)
    for each in travels.gone:
        text = f"In '{each.step}', '{each.name}' is no longer done."
        if each.what is What.CAUTION:
            text = f"The caution '{each.name}' no longer stands before '{each.step}'."
        yield Difference(each.what, each.weight, each.at, None, text)
    for each in travels.new:
        text = f"In '{each.step}', '{each.name}' is now done as well."
        if each.what is What.CAUTION:
            text = f"The caution '{each.name}' now stands before '{each.step}'."
        yield Difference(each.what, each.weight, None, each.at, text)
