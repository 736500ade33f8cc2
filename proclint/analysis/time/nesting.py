"""Windows inside windows of which the inner one may last longer than the outer."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.time.keeping import WindowTime
from proclint.analysis.time.lengths import Hand
from proclint.analysis.time.rough import Rough
from proclint.analysis.time.stn import Point
from proclint.analysis.time.sums import Clock, Course
from proclint.analysis.windows import Region


class Outlived(NamedTuple):
    """A window that may end only after the one in which it lies, and how long after that the typical hand opens it."""

    outer: Region
    inner: Region
    opened_after: int

    @property
    def over(self) -> int:
        """By how many milliseconds the inner one then ends after the outer."""
        return self.opened_after + (self.inner.window.at_most or 0) - (self.outer.window.at_most or 0)


def nested(regions: tuple[Region, ...]) -> Iterator[tuple[Region, Region]]:
    """Give the pairs of windows with a longest time of which the steps of the first, the outer one, hold those of the second."""
    bounded = [region for region in regions if region.window.at_most is not None]
    for outer in bounded:
        for inner in bounded:
            if inner is not outer and set(inner.steps) <= set(outer.steps):
                yield outer, inner


def may_outlive(outer: Region, inner: Region, rough: Rough) -> bool:
    """Whether an inner window may end after the outer; it says yes where it cannot tell."""
    latest, most, within = rough.latest(outer, inner), inner.window.at_most, outer.window.at_most
    if latest is None or most is None or within is None:
        return True
    return latest >= 0 and latest + most > within


def outlived(outer: WindowTime, inner: WindowTime) -> Outlived | None:
    """Give how far an inner window reaches beyond the outer when the typical hand opens it.

    Nothing where it does not, where the steps of the outer do not fit anyway, and where the inner is not closed before the
    outer is.
    """
    if outer.windows.no_sums is not None:
        return None
    reach = _reach(outer.windows.course(Hand.TYPICAL), outer.clock)
    opened = [reach[point] for point in inner.clock.starts if point in reach and point not in outer.clock.stops]
    if not opened or outer.broken_at is not None or reach.keys().isdisjoint(inner.clock.stops):
        return None
    found = Outlived(outer.region, inner.region, max(opened))
    return found if found.over > 0 else None


def _reach(course: Course, clock: Clock) -> dict[Point, int]:
    """Give the longest time to each point that is reached while a clock runs."""
    reach: dict[Point, int] = dict.fromkeys(clock.starts, 0)
    for stretch in course.stretches:
        if stretch.start in reach and (stretch.start in clock.starts or stretch.start not in clock.stops):
            after = reach[stretch.start] + stretch.longest
            reach[stretch.end] = max(after, reach.get(stretch.end, 0))
    return reach
