"""Longest sums: whether the longest way between two moments fits, when everyone acts at once.

A course is a graph without loops whose edges are stretches of time; where stretches part, one of them is taken, and
which is seen there. Where nothing has to be waited for, to act at once is the best plan, and a clock that must stop
within some time can be kept if and only if the longest way from its start to its stop fits: of what a person does the
quickest counts, of what others decide the slowest. That this is enough is held by a test against an exhaustive game. A clock
with a `least` needs the network of `joined`.

Longest ways in a graph without loops are found in one pass in order (common practice, no source). All times are whole
milliseconds.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from proclint.analysis.time.stn import Point, Tag


@dataclass(frozen=True, slots=True)
class Stretch:
    """Time that passes from `start` to `end`.

    A person takes `least` or more, up to `most` where it is given. If it `is_given`, vehicle or equipment decides, anything from
    `least` to `most`. Raises ValueError for `least` below zero, `most` below `least`, or given time without a `most`.
    """

    start: Point
    end: Point
    least: int
    most: int | None = None
    is_given: bool = False
    tag: Tag = None

    def __post_init__(self) -> None:
        if self.least < 0 or (self.most is not None and self.most < self.least):
            raise ValueError(f"A stretch of {self.least} to {self.most} ms is none.")
        if self.is_given and self.most is None:
            raise ValueError("A stretch that others decide needs a time by which it is over.")

    @property
    def longest(self) -> int:
        """How long it lasts at worst when everyone acts at once."""
        return self.most if self.is_given and self.most is not None else self.least


class Clock(NamedTuple):
    """A clock that starts at any of some points, stops at the next of some others, and must then show `least` to `most`.

    One that runs is not started again. Where the ways end it may still run, and nothing is asked of it.
    """

    starts: frozenset[Point]
    stops: frozenset[Point]
    least: int | None = None
    most: int | None = None
    tag: Tag = None


class Course(NamedTuple):
    """Stretches in an order in which none comes before one that leads to it, and the clocks that run over them."""

    stretches: tuple[Stretch, ...]
    clocks: tuple[Clock, ...] = ()


class Sum(NamedTuple):
    """A way and how long it lasts at worst when everyone acts at once."""

    ms: int
    way: tuple[Stretch, ...]


def course(stretches: Iterable[Stretch], clocks: Iterable[Clock] = ()) -> Course:
    """Put stretches in order (Kahn 1962). Raises ValueError if they form a loop."""
    given = tuple(stretches)
    leaving: dict[Point, list[Stretch]] = {}
    arriving: dict[Point, int] = {}
    for stretch in given:
        leaving.setdefault(stretch.start, []).append(stretch)
        arriving.setdefault(stretch.start, 0)
        arriving[stretch.end] = arriving.get(stretch.end, 0) + 1
    free = [point for point, count in arriving.items() if count == 0]
    ordered: list[Stretch] = []
    for point in free:
        for stretch in leaving.get(point, ()):
            ordered.append(stretch)
            arriving[stretch.end] -= 1
            if arriving[stretch.end] == 0:
                free.append(stretch.end)
    if len(ordered) < len(given):
        raise ValueError("These stretches form a loop; each round needs points of its own.")
    return Course(tuple(ordered), tuple(clocks))


def longest(over: Course, clock: Clock) -> Sum | None:
    """Give the longest way from a start of a clock to its stop, the first in order of those; None if there is no way."""
    reach: dict[Point, int] = {}
    by: dict[Point, Stretch] = {}
    best: tuple[int, Stretch] | None = None
    for stretch in over.stretches:
        shown = reach.get(stretch.start, 0 if stretch.start in clock.starts else None)
        if shown is None:
            continue
        after = shown + stretch.longest
        if stretch.end in clock.stops:
            if best is None or after > best[0]:
                best = after, stretch
        elif after > reach.get(stretch.end, -1):
            reach[stretch.end] = after
            by[stretch.end] = stretch
    return None if best is None else Sum(best[0], _way(by, best[1]))


def _way(by: dict[Point, Stretch], last: Stretch) -> tuple[Stretch, ...]:
    backwards = [last]
    while backwards[-1].start in by:
        backwards.append(by[backwards[-1].start])
    return tuple(reversed(backwards))
