"""Simple temporal networks with uncertainty: whether every bound can be kept however long those things take that others decide.

A network is dynamically controllable when there is a plan that keeps every bound and depends only on what has been
seen so far. The check is that of P. Morris, "Dynamic controllability and dispatchability relationships" (CPAIOR 2014),
of cubic cost: from each point with a negative edge, shortest ways are followed backwards until they are no longer
negative, and what is left becomes a new edge. A point that waits for itself is the conflict. It is written here
without recursion, with derived edges as links into the ways they came from, so that a conflict can be told by the bounds as
written: such a cycle can pass a bound more often than can be written down.

Reaction is instantaneous: one may act at the very moment something is seen. The time that a hand needs to react is a
bound of its own.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from proclint.analysis.time.stn import (
    LIMITS,
    Bound,
    Found,
    Kind,
    Leg,
    Open,
    Point,
    Tag,
    TimeLimits,
    Verdict,
    Work,
    is_kept,
    settle,
)


@dataclass(frozen=True, slots=True)
class Span:
    """From `start` to `end` passes some time from `least` to `most` that vehicle or equipment decides; it is seen at `end`.

    Raises ValueError unless 0 <= least <= most.
    """

    start: Point
    end: Point
    least: int
    most: int
    tag: Tag = None

    def __post_init__(self) -> None:
        if not 0 <= self.least <= self.most:
            raise ValueError(f"A span of {self.least} to {self.most} ms is none.")

    def bound(self) -> Bound:
        """Give what holds of the span whoever decides it."""
        return Bound(self.start, self.end, self.least, self.most, self.tag)


@dataclass(frozen=True, slots=True)
class Network:
    """Bounds to keep and spans that others decide. Raises ValueError if two spans end at one point."""

    bounds: tuple[Bound, ...]
    spans: tuple[Span, ...] = ()

    def __post_init__(self) -> None:
        if len({span.end for span in self.spans}) < len(self.spans):
            raise ValueError("Two spans end at one point, so neither decides when it comes.")

    @property
    def points(self) -> tuple[Point, ...]:
        """The points in the order in which they are first named."""
        named: tuple[Bound | Span, ...] = (*self.bounds, *self.spans)
        return tuple(dict.fromkeys(point for each in named for point in (each.start, each.end)))

    def only(self, kept: frozenset[Tag] | None) -> "Network":
        """Give the network of what has one of these tags or none; None keeps all."""
        bounds = tuple(bound for bound in self.bounds if is_kept(bound.tag, kept))
        return Network(bounds, tuple(span for span in self.spans if is_kept(span.tag, kept)))


def controllable(network: Network, *, limits: TimeLimits = LIMITS) -> Verdict:
    """Say whether some plan keeps every bound whatever the spans turn out, knowing only what has been seen."""
    if len(network.points) > limits.points:
        return Open("points", limits.points)
    return settle(lambda kept, work: search(network.only(kept), work), limits)


def search(network: Network, work: Work) -> Found:
    """Give a cycle that cannot be kept, or None. Raises TooMuchWorkError."""
    graph = _Graph(network)
    for point, falling in enumerate(graph.falling):
        if falling and point not in graph.done:
            walk = _walk_from(graph, point, work)
            if walk is not None:
                return _told(walk)
    return None


@dataclass(slots=True, eq=False)
class _Edge:
    """An edge of the graph of distances.

    One as written has a leg, but for those that set a point of our own apart. A derived one has, in `way`, for each point
    on the way to its target the next edge; `made` says which was derived first.
    """

    source: int
    target: int
    weight: int
    leg: Leg | None = None
    is_shortest: bool = False
    way: Mapping[int, "_Edge"] | None = None
    made: int = 0


class _Frame:
    """The shortest ways found so far to one point, backwards from its negative edges."""

    __slots__ = ("heap", "reach", "source", "way")

    def __init__(self, source: int, falling: Iterable[_Edge]) -> None:
        self.source = source
        self.reach: dict[int, int] = {}
        self.way: dict[int, _Edge] = {}
        self.heap: list[tuple[int, int]] = []
        self.look(falling, 0)

    def look(self, edges: Iterable[_Edge], onward: int) -> None:
        """Take each edge, from whose target it is `onward` to the source, if it makes the way from its own source shorter."""
        reach = self.reach
        for edge in edges:
            point, new = edge.source, edge.weight + onward
            old = reach.get(point)
            # What a span as short as can be leads to must not rest on the same span as long as can be.
            if (old is None or new < old) and not (edge.is_shortest and point == self.source):
                reach[point] = new
                self.way[point] = edge
                heappush(self.heap, (new, point))


class _Graph:
    """Edges by their target, rising and falling apart, and which points with falling edges are done with."""

    def __init__(self, network: Network) -> None:
        points = network.points
        number = {point: index for index, point in enumerate(points)}
        self.rising: list[list[_Edge]] = [[] for _ in range(len(points) + len(network.spans))]
        self.falling: list[list[_Edge]] = [[] for _ in self.rising]
        self.done: set[int] = set()
        self.made = 0
        for leg in (leg for bound in network.bounds for leg in bound.legs()):
            self._add(_Edge(number[leg.source], number[leg.target], leg.by, leg))
        for own, span in enumerate(network.spans, start=len(points)):
            self._span(span, number, own)

    def _span(self, span: Span, number: Mapping[Point, int], own: int) -> None:
        """Lay a span in Morris's normal form: to a point of our own passes what it takes at least, the rest is uncertain."""
        start, end, tag = number[span.start], number[span.end], span.tag
        most, least = span.bound().legs()
        shortest = Leg(span.start, span.end, span.least, Kind.AS_SHORT_AS, tag)
        longest = Leg(span.end, span.start, -span.most, Kind.AS_LONG_AS, tag)
        self._add(_Edge(start, own, span.least))
        self._add(_Edge(own, start, -span.least))
        self._add(_Edge(own, end, span.most - span.least, most))
        self._add(_Edge(end, own, 0, least))
        self._add(_Edge(own, end, 0, shortest, is_shortest=True))
        self._add(_Edge(end, own, span.least - span.most, longest))

    def _add(self, edge: _Edge) -> None:
        (self.rising if edge.weight >= 0 else self.falling)[edge.target].append(edge)

    def run(self, frame: _Frame, work: Work) -> int | None:
        """Follow ways while they are negative; give the point that has to be done first, or None when there is no more."""
        heap, reach = frame.heap, frame.reach
        while heap and heap[0][0] < 0:
            onward, point = heap[0]
            is_last = onward == reach[point]
            if is_last and self.falling[point] and point not in self.done:
                return point
            heappop(heap)
            if is_last:
                work.take(len(self.rising[point]))
                frame.look(self.rising[point], onward)
        return None

    def finish(self, frame: _Frame, work: Work) -> None:
        """Make an edge of each way to a point that has come out no longer negative."""
        self.done.add(frame.source)
        work.take(len(frame.heap))
        for onward, point in frame.heap:
            if onward == frame.reach[point] and point != frame.source:
                self.made += 1
                self.rising[frame.source].append(_Edge(point, frame.source, onward, way=frame.way, made=self.made))


def _walk_from(graph: _Graph, point: int, work: Work) -> list[_Edge] | None:
    """Do a point and all that it waits for; give the closed walk by which one waits for itself, or None."""
    stack = [_Frame(point, graph.falling[point])]
    depth = {point: 0}
    while stack:
        first = graph.run(stack[-1], work)
        if first is None:
            frame = stack.pop()
            del depth[frame.source]
            graph.finish(frame, work)
        elif first in depth:
            return _closed(stack[depth[first] :], first)
        else:
            depth[first] = len(stack)
            stack.append(_Frame(first, graph.falling[first]))
    return None


def _closed(frames: list[_Frame], point: int) -> list[_Edge]:
    """Join the ways on which each frame waits for the next, and the last for the first."""
    walk: list[_Edge] = []
    for frame in reversed(frames):
        walk.extend(_along(frame.way, point, frame.source))
        point = frame.source
    return walk


def _along(way: Mapping[int, _Edge], point: int, target: int) -> Iterator[_Edge]:
    """Follow a way to its target; to begin there is to go round."""
    edge = way[point]
    yield edge
    while edge.target != target:
        edge = way[edge.target]
        yield edge


def _parts(edge: _Edge) -> list[_Edge]:
    """Give the edges that a derived edge stands for, none for one as written."""
    return [] if edge.way is None else list(_along(edge.way, edge.source, edge.target))


def _told(walk: list[_Edge]) -> tuple[Leg, ...]:
    """Give the legs of a walk in the order in which it first passes them, each with how often it does."""
    met: dict[_Edge, list[_Edge]] = {}
    waiting = walk[::-1]
    while waiting:
        edge = waiting.pop()
        if edge not in met:
            met[edge] = _parts(edge)
            waiting.extend(reversed(met[edge]))
    times = Counter(walk)
    # The last made first: by then it is known how often it is passed itself.
    for edge in sorted(met, key=lambda each: each.made, reverse=True):
        for part in met[edge]:
            times[part] += times[edge]
    return tuple(edge.leg._replace(times=times[edge]) for edge in met if edge.leg is not None)
