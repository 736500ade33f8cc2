"""All ways over a course as one network: what is shared stands once, what comes after a branch once for each side.

No two sides of a branch ever run together, so that the sides bind nothing but the stretches before the branch, which have to
suit them all; and no plan depends on what is not yet seen. The network is dynamically controllable if and only if all ways over
the course can be kept, whatever is decided and seen. It must not be the person who decides a branch, both sides must be
possible, and nothing else goes on meanwhile. (No source: held by a test against an exhaustive game.)

Where no clock runs nothing before can matter for what comes after, and the ways begin anew.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from proclint.analysis.time.stn import LIMITS, Bound, Open, Point, TimeLimits
from proclint.analysis.time.stnu import Network, Span
from proclint.analysis.time.sums import Clock, Course, Stretch

# A point of the course, and which of its copies.
Copy: TypeAlias = tuple[Point, int]
# For each clock that runs, by its number, when it was started.
Running: TypeAlias = Mapping[int, Copy]


@dataclass(slots=True)
class _Tree:
    """What has been laid so far of the ways over a course."""

    leaving: dict[Point, list[Stretch]]
    clocks: tuple[Clock, ...]
    bounds: list[Bound] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)
    copies: int = 0

    def copy(self, point: Point) -> Copy:
        """Make a copy of a point."""
        self.copies += 1
        return point, self.copies

    def started(self, at: Copy, running: Running) -> Running:
        """Start the clocks that start at a point and do not run."""
        new = {number: at for number, clock in enumerate(self.clocks) if at[0] in clock.starts}
        return {**new, **running} if new else running

    def grow(self, stretch: Stretch, start: Copy, running: Running) -> tuple[Copy, Running]:
        """Lay a stretch and the clocks that stop at its end; give the end and what runs on."""
        end = self.copy(stretch.end)
        if stretch.is_given:
            self.spans.append(Span(start, end, stretch.least, stretch.longest, stretch.tag))
        else:
            self.bounds.append(Bound(start, end, stretch.least, stretch.most, stretch.tag))
        stopped = {number for number in running if end[0] in self.clocks[number].stops}
        for number in sorted(stopped):
            clock = self.clocks[number]
            self.bounds.append(Bound(running[number], end, clock.least, clock.most, clock.tag))
        return end, {number: at for number, at in running.items() if number not in stopped}

    def climb(self, root: Point, limit: int) -> Iterator[Point]:
        """Lay all ways from a point at which no clock ran before; give the points at which none runs any more."""
        first = self.copy(root)
        waiting = [(first, self.started(first, {}))]
        while waiting and self.copies <= limit:
            at, running = waiting.pop()
            for stretch in self.leaving.get(at[0], ()):
                end, on = self.grow(stretch, at, running)
                if on:
                    waiting.append((end, self.started(end, on)))
                else:
                    yield stretch.end

    def onward(self, point: Point, limit: int) -> Iterator[Point]:
        """Give the next points at which no clock runs, and lay what is on the way to them if one is started here."""
        if any(point in clock.starts for clock in self.clocks):
            yield from self.climb(point, limit)
        else:
            yield from (stretch.end for stretch in self.leaving.get(point, ()))


def joined(course: Course, *, limits: TimeLimits = LIMITS) -> Network | Open:
    """Give the network of all ways over a course; its points are pairs of a point of the course and the number of its copy."""
    tree = _Tree(_leaving(course), course.clocks)
    ends = {stretch.end for stretch in course.stretches}
    # Points to begin anew from, while some are still being found.
    roots = list(dict.fromkeys(stretch.start for stretch in course.stretches if stretch.start not in ends))
    known = set(roots)
    for root in roots:
        roots += [point for point in dict.fromkeys(tree.onward(root, limits.points)) if point not in known]
        known.update(roots)
        if tree.copies > limits.points:
            return Open("points", limits.points)
    return Network(tuple(tree.bounds), tuple(tree.spans))


def _leaving(course: Course) -> dict[Point, list[Stretch]]:
    leaving: dict[Point, list[Stretch]] = {}
    for stretch in course.stretches:
        leaving.setdefault(stretch.start, []).append(stretch)
    return leaving
