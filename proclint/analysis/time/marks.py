"""Windows whose marks make no sense: opened and not closed, closed and not opened, opened while open, no way when late."""

from collections.abc import Iterator
from itertools import islice, pairwise
from typing import NamedTuple

from proclint.analysis.shelf import Written
from proclint.analysis.windows import Region
from proclint.model import Mark, Step


class Reopened(NamedTuple):
    """A window that a step opens while it is open, and the step from which the way comes on which it is."""

    region: Region
    step: Step
    mark: Mark
    came_from: str


def unopened(written: Written) -> Iterator[tuple[Region, Mark]]:
    """Give the windows that are closed and that nothing opens before, with the first mark that closes them."""
    for region in written.regions:
        if region.steps and not region.openers:
            yield region, next(mark for is_open, mark in _marks_of(region, written) if not is_open)


def unclosed(written: Written) -> Iterator[tuple[Region, Mark]]:
    """Give the windows that are opened and that nothing closes afterwards, with the last mark that opens them."""
    for region in written.regions:
        if region.steps and not region.closers:
            yield region, [mark for is_open, mark in _marks_of(region, written) if is_open][-1]


def without_late(written: Written) -> Iterator[tuple[Region, Step]]:
    """Give the windows with a longest time that have no way for an overrun, with the first closing step that has none either."""
    for region in written.regions:
        if region.openers and region.closers and region.window.at_most is not None and not region.window.late:
            steps = (written.steps[name].step for name in region.steps)
            yield from islice(((region, step) for step in steps if _closes(step, region) and step.way("fails") is None), 1)


def reopened(written: Written) -> Iterator[Reopened]:
    """Give the openings of windows that are open, the first for each window."""
    for region in written.regions:
        found = next(_reopened(region, written), None)
        if found is not None:
            yield found


def _reopened(region: Region, written: Written) -> Iterator[Reopened]:
    for name in region.steps:
        each = written.steps[name]
        for (was_open, _), (opens, mark) in pairwise(_marks(each.step, region)):
            if was_open and opens:
                yield Reopened(region, each.step, mark, name)
        if name in region.closers:
            continue
        following = [leaving.target for leaving in each.exits if not leaving.is_failing]
        again = (name,) if each.step.loop is not None else ()
        for target in (*again, *following):
            if target in region.openers:
                step = written.steps[target].step
                yield Reopened(region, step, next(_marks(step, region))[1], name)


def _closes(step: Step, region: Region) -> bool:
    return any(not is_open for is_open, _ in _marks(step, region))


def _marks_of(region: Region, written: Written) -> Iterator[tuple[bool, Mark]]:
    for name in region.steps:
        yield from _marks(written.steps[name].step, region)


def _marks(step: Step, region: Region) -> Iterator[tuple[bool, Mark]]:
    """Give the marks of a window in a step, and whether each opens it; one line closes before it opens."""
    for line in step.lines:
        for is_open, marks in ((False, line.closes), (True, line.opens)):
            yield from ((is_open, mark) for mark in marks if mark.window == region.window.name)
