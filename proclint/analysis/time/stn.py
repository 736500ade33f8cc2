"""Simple temporal networks: points in time, and how far apart two of them may be.

The method is that of R. Dechter, I. Meiri and J. Pearl, "Temporal constraint networks", Artificial Intelligence 49
(1991): every bound is an edge of a graph of distances, and the network can be kept if and only if that graph has no
negative cycle. The cycle is found by relaxing edges from a queue, with a look at the tree of shortest ways after every
pass over the points (B. Cherkassky and A. Goldberg, "Negative-cycle detection algorithms", 1999; from memory).

All times are whole milliseconds. Points and tags are whatever the caller names things by, as long as it can be hashed. The tag
says where a bound was written: a conflict is told by tags, and bounds of one tag stand or fall together. A bound
without a tag belongs to the frame of things; it is kept and not named.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from math import inf
from typing import NamedTuple, TypeAlias

Point: TypeAlias = Hashable
Tag: TypeAlias = Hashable


class Kind(Enum):
    """What a bound says of the time between two points; the last two speak of time that somebody else decides."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    AS_SHORT_AS = "as short as"
    AS_LONG_AS = "as long as"


class Leg(NamedTuple):
    """One side of a bound, as an edge: `target` comes at most `by` after `source`, where a negative `by` means before.

    A conflict passes a leg `times` times: more than once where time that others decide is made up for more than once.
    """

    source: Point
    target: Point
    by: int
    kind: Kind
    tag: Tag = None
    times: int = 1


class Bound(NamedTuple):
    """`end` comes at least `least` and at most `most` after `start`; None leaves that side open."""

    start: Point
    end: Point
    least: int | None = None
    most: int | None = None
    tag: Tag = None

    def legs(self) -> Iterator[Leg]:
        """Give the sides that are bounded."""
        if self.most is not None:
            yield Leg(self.start, self.end, self.most, Kind.AT_MOST, self.tag)
        if self.least is not None:
            yield Leg(self.end, self.start, -self.least, Kind.AT_LEAST, self.tag)


@dataclass(frozen=True, slots=True)
class Holds:
    """The network can be kept."""


class Open(NamedTuple):
    """A search met the limit of this name and number before it could decide."""

    limit: str
    number: int


class Conflict(NamedTuple):
    """Bounds that cannot all be kept.

    `cycle` holds the legs in the order in which the cycle first passes them; where each has `times` 1 they join end to end.
    `is_smallest` says that the network can be kept as soon as any one of the tags is left out; it is false only where
    finding that out met a limit.
    """

    cycle: tuple[Leg, ...]
    is_smallest: bool

    @property
    def tags(self) -> tuple[Tag, ...]:
        """The tags in the order in which the cycle first meets them."""
        return _tags(self.cycle)

    @property
    def short(self) -> int:
        """How many milliseconds are missing round the cycle; above zero."""
        return -total(self.cycle)


Verdict: TypeAlias = Holds | Conflict | Open


class TimeLimits(NamedTuple):
    """How far an analysis of time goes before it says that it could not decide: points there are, edges looked at or made."""

    points: int = 2_000
    edges: int = 2_000_000


LIMITS = TimeLimits()


class TooMuchWorkError(Exception):
    """A search looked at or made more edges than its limit allows."""


@dataclass(slots=True)
class Work:
    """How many edges a search may still look at or make; without end if nothing is said."""

    left: float = inf

    def take(self, edges: int) -> None:
        """Count edges; raise `TooMuchWorkError` when there are none left."""
        self.left -= edges
        if self.left < 0:
            raise TooMuchWorkError


Found: TypeAlias = tuple[Leg, ...] | None
Search: TypeAlias = Callable[[frozenset[Tag] | None, Work], Found]


def consistent(bounds: Iterable[Bound], *, limits: TimeLimits = LIMITS) -> Verdict:
    """Say whether times can be given to all points such that every bound is kept, all of them being ours to choose."""
    legs = [leg for bound in bounds for leg in bound.legs()]
    if len(_points(legs)) > limits.points:
        return Open("points", limits.points)

    def search(kept: frozenset[Tag] | None, work: Work) -> Found:
        chosen = [leg for leg in legs if is_kept(leg.tag, kept)]
        return _relax(chosen, dict.fromkeys(_points(chosen), 0), work)

    return settle(search, limits)


def farthest(bounds: Iterable[Bound], point: Point) -> Mapping[Point, int]:
    """Give how long after `point` each other point comes at most; what nothing bounds is left out.

    The least is the negative of the same seen from the other side. Raises ValueError if the network cannot be kept.
    """
    reach: dict[Point, int] = {point: 0}
    if _relax((leg for bound in bounds for leg in bound.legs()), reach, Work()) is not None:
        raise ValueError("These bounds cannot all be kept.")
    return reach


def settle(search: Search, limits: TimeLimits) -> Verdict:
    """Give the verdict of a search; a conflict is made smallest by leaving out one tag after the other.

    The search is given the tags to keep, None for all; what it then finds is a cycle of bounds that cannot be kept.
    """
    try:
        cycle = search(None, Work(limits.edges))
    except TooMuchWorkError:
        return Open("edges", limits.edges)
    return Holds() if cycle is None else _smallest(cycle, search, Work(limits.edges))


def is_kept(tag: Tag, kept: frozenset[Tag] | None) -> bool:
    """Whether a bound of this tag takes part when only the tags in `kept` do, None standing for all."""
    return kept is None or tag is None or tag in kept


def total(cycle: Iterable[Leg]) -> int:
    """Add up the legs of a cycle."""
    return sum(leg.by * leg.times for leg in cycle)


def _smallest(cycle: tuple[Leg, ...], search: Search, work: Work) -> Conflict:
    needed: set[Tag] = set()
    waiting = list(_tags(cycle))
    while waiting:
        tag = waiting.pop()
        try:
            smaller = search(frozenset(needed.union(waiting)), work)
        except TooMuchWorkError:
            return Conflict(cycle, is_smallest=False)
        if smaller is None:
            needed.add(tag)
        else:
            cycle = smaller
            waiting = [each for each in _tags(cycle) if each not in needed]
    return Conflict(cycle, is_smallest=True)


def _tags(cycle: Iterable[Leg]) -> tuple[Tag, ...]:
    return tuple(dict.fromkeys(leg.tag for leg in cycle if leg.tag is not None))


def _points(legs: Iterable[Leg]) -> tuple[Point, ...]:
    return tuple(dict.fromkeys(point for leg in legs for point in (leg.source, leg.target)))


def _relax(legs: Iterable[Leg], reach: dict[Point, int], work: Work) -> Found:
    """Shorten `reach` along legs until nothing changes, or give a negative cycle."""
    leaving: dict[Point, list[Leg]] = {}
    for leg in legs:
        leaving.setdefault(leg.source, []).append(leg)
    by: dict[Point, Leg] = {}
    waiting = dict.fromkeys(reach)
    looked = 0
    while waiting:
        # Passes go to and fro (Yen 1970, from memory), as most bounds lead along the points or back.
        now, waiting = waiting, {}
        for point in reversed(now):
            waiting.pop(point, None)
            out = leaving.get(point, ())
            work.take(len(out))
            waiting |= dict.fromkeys(_shortened(out, reach, by))
        looked += len(now)
        # Looking for a ring costs as much as a pass over all points, and is done no oftener.
        if looked >= len(reach):
            looked = 0
            if (ring := _ring(by)) is not None:
                return ring
    return None


def _shortened(out: Iterable[Leg], reach: dict[Point, int], by: dict[Point, Leg]) -> Iterator[Point]:
    for leg in out:
        new = reach[leg.source] + leg.by
        old = reach.get(leg.target)
        if old is None or new < old:
            reach[leg.target] = new
            by[leg.target] = leg
            yield leg.target


def _ring(by: Mapping[Point, Leg]) -> Found:
    """Give the ring, if there is one, among the legs by which points were last reached."""
    seen: dict[Point, int] = {}
    for walk, first in enumerate(by):
        point = first
        while point in by and point not in seen:
            seen[point] = walk
            point = by[point].source
        if seen.get(point) == walk:
            return _round(by, point)
    return None


def _round(by: Mapping[Point, Leg], point: Point) -> tuple[Leg, ...]:
    backwards = [by[point]]
    while backwards[-1].source != point:
        backwards.append(by[backwards[-1].source])
    return tuple(reversed(backwards))
