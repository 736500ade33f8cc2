"""The algorithms of time agree with other libraries and with games played out in full.

The games are written here from the meaning of the words alone. In the first, time goes in whole steps, a person and the
vehicle act in turns, and the person wins who keeps every bound whatever the vehicle does. In the second a course is walked
stretch by stretch, and the vehicle chooses the branches.
"""

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TypeAlias

import networkx
import pytest

from proclint.analysis.time.joined import joined
from proclint.analysis.time.slack import slack
from proclint.analysis.time.stn import Bound, Conflict, Holds, Verdict, consistent, farthest
from proclint.analysis.time.stnu import Network, Span, controllable
from proclint.analysis.time.sums import Clock, Course, Stretch, course, longest

SEED = 20261125
SMALL_AND_LARGE = pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])


def random_bounds(chance: random.Random) -> tuple[Bound, ...]:
    """Draw 1 to 3 bounds a point between 2 to 12 points, some with both sides, each with a tag of its own.

    They are such that some times would keep them, but for a few from above that are too tight; so both verdicts come up.
    """
    count = chance.randint(2, 12)
    times = [chance.randint(0, 40) for _ in range(count)]
    tight = chance.choice([0.0, 0.2, 0.5])
    bounds = []
    for tag in range(chance.randint(count, 3 * count)):
        start, end = chance.sample(range(count), 2)
        room = chance.randint(-4, -1) if chance.random() < tight else chance.randint(0, 8)
        most = times[end] - times[start] + room if chance.random() < 0.7 else None
        least = times[end] - times[start] - abs(room) if most is None or chance.random() < 0.2 else None
        bounds.append(Bound(start, end, least, most, tag))
    return tuple(bounds)


def edges_of(bounds: tuple[Bound, ...]) -> dict[tuple[int, int], int]:
    """Give the shortest edge between each two points that a bound joins directly."""
    edges: dict[tuple[int, int], int] = {}
    for bound in bounds:
        start, end = int(str(bound.start)), int(str(bound.end))
        if bound.most is not None:
            edges[start, end] = min(bound.most, edges.get((start, end), bound.most))
        if bound.least is not None:
            edges[end, start] = min(-bound.least, edges.get((end, start), -bound.least))
    return edges


@SMALL_AND_LARGE
def test_networkx_agrees(number: int) -> None:
    """On random networks networkx finds a negative cycle where we do, and by Floyd and Warshall the same distances."""
    chance = random.Random(SEED)
    seen: Counter[str] = Counter()
    for _ in range(number):
        bounds = random_bounds(chance)
        drawn: networkx.DiGraph[int] = networkx.DiGraph()
        drawn.add_weighted_edges_from((source, target, by) for (source, target), by in edges_of(bounds).items())
        ours = consistent(bounds)
        assert networkx.negative_edge_cycle(drawn) == isinstance(ours, Conflict), bounds
        assert isinstance(controllable(Network(bounds)), type(ours)), bounds
        seen[type(ours).__name__] += 1
        if isinstance(ours, Holds):
            for point, others in networkx.floyd_warshall(drawn).items():
                near = {other: by for other, by in others.items() if by != float("inf")}
                assert near == farthest(bounds, point), bounds
                seen["distances"] += len(near)
    print(dict(seen))
    assert number == seen["Holds"] + seen["Conflict"]
    assert min(seen["Holds"], seen["Conflict"]) > number / 5


@SMALL_AND_LARGE
def test_scipy_agrees(number: int) -> None:
    """On random networks scipy refuses those with a conflict for a negative cycle, and gives the same distances for the rest."""
    sparse = pytest.importorskip("scipy.sparse")
    csgraph = pytest.importorskip("scipy.sparse.csgraph")
    chance = random.Random(SEED + 1)
    seen: Counter[str] = Counter()
    for _ in range(number):
        bounds = random_bounds(chance)
        edges = edges_of(bounds)
        sources, targets = zip(*edges, strict=True)
        size = max(*sources, *targets) + 1
        matrix = sparse.csr_matrix((list(map(float, edges.values())), (sources, targets)), shape=(size, size))
        ours = consistent(bounds)
        try:
            theirs = csgraph.floyd_warshall(matrix)
        except csgraph.NegativeCycleError:
            assert isinstance(ours, Conflict), bounds
            seen["Conflict"] += 1
            continue
        assert isinstance(ours, Holds), bounds
        seen["Holds"] += 1
        for point in {*sources, *targets}:
            near = {other: int(by) for other, by in enumerate(theirs[point]) if by != float("inf")}
            assert near == farthest(bounds, point), bounds
    print(dict(seen))
    assert min(seen["Holds"], seen["Conflict"]) > number / 5


@pytest.mark.parametrize("number", [10, pytest.param(1_000, marks=pytest.mark.long)])
def test_z3_agrees(number: int) -> None:
    """On random networks z3 finds the same verdict, cannot keep the tags of a conflict, and can without any one of them."""
    z3 = pytest.importorskip("z3")
    chance = random.Random(SEED + 2)
    seen: Counter[str] = Counter()

    def can_keep(bounds: list[Bound]) -> bool:
        solver = z3.Solver()
        for bound in bounds:
            apart = z3.Int(f"t{bound.end}") - z3.Int(f"t{bound.start}")
            if bound.most is not None:
                solver.add(apart <= bound.most)
            if bound.least is not None:
                solver.add(apart >= bound.least)
        return bool(solver.check() == z3.sat)

    while seen["Conflict"] < number:
        # Some tags stand for several bounds.
        bounds = [bound._replace(tag=int(str(bound.tag)) // chance.choice([1, 1, 2])) for bound in random_bounds(chance)]
        ours = consistent(bounds)
        seen[type(ours).__name__] += 1
        assert can_keep(bounds) == isinstance(ours, Holds), bounds
        if isinstance(ours, Conflict):
            assert ours.is_smallest
            assert not can_keep([bound for bound in bounds if bound.tag in ours.tags]), bounds
            for left_out in ours.tags:
                rest = [bound for bound in bounds if bound.tag in ours.tags and bound.tag != left_out]
                assert can_keep(rest), bounds
                seen["left out"] += 1
    print(dict(seen))
    assert seen["Holds"] > 0


Edge: TypeAlias = tuple[int, int, int]
Times: TypeAlias = tuple[int | None, ...]


@dataclass(frozen=True)
class Game:
    """Points 0 to `count` - 1, of which 0 is at time 0 and none after `horizon`; edges (source, most, target); spans.

    A span is (start, least, most, end). With a `fork`, the vehicle chooses one of two `sides` when that point comes, and the
    points of the other never come; all that belongs to no side comes before.
    """

    count: int
    horizon: int
    edges: tuple[Edge, ...]
    spans: tuple[tuple[int, int, int, int], ...]
    fork: int | None = None
    sides: tuple[frozenset[int], ...] = (frozenset(),)

    def network(self) -> Network:
        """Give the network of all sides; each edge and each span has a tag of its own."""
        edges = [Bound(source, target, most=by, tag=("edge", at)) for at, (source, by, target) in enumerate(self.edges)]
        frame = [Bound(0, point, 0, self.horizon) for point in range(1, self.count)]
        spans = [Span(start, end, least, most, ("span", at)) for at, (start, least, most, end) in enumerate(self.spans)]
        return Network((*frame, *edges), tuple(spans))

    def only(self, conflict: Conflict, *, left_out: object = None) -> "Game":
        """Give the game of what a conflict names, or all of it but one tag."""
        tags = set(conflict.tags) - {left_out}
        return replace(
            self,
            edges=tuple(each for at, each in enumerate(self.edges) if ("edge", at) in tags),
            spans=tuple(each for at, each in enumerate(self.spans) if ("span", at) in tags),
        )


State: TypeAlias = tuple[int, Times, int | None]


@dataclass
class Play:
    """A game played out in full, from every state once. A state is the time, when each point came, and the side chosen."""

    game: Game
    known: dict[State, bool] = field(default_factory=dict)

    def can_be_won(self) -> bool:
        """Say whether the person can keep every bound whatever the vehicle does."""
        start: Times = (0, *[None] * (self.game.count - 1))
        return all(self.vehicle((0, start, side)) for side in self.sides(0, None))

    def sides(self, point: int, side: int | None) -> list[int | None]:
        """Give the sides that the vehicle can choose as a point comes."""
        return list(range(len(self.game.sides))) if point == self.game.fork else [side]

    def absent(self, side: int | None) -> frozenset[int]:
        """Give the points of sides that are not, or not yet, chosen."""
        return frozenset(point for index, points in enumerate(self.game.sides) if index != side for point in points)

    def is_broken(self, state: State) -> bool:
        """Say whether an edge is broken, or cannot be kept any more as its target is late."""
        now, times, side = state
        absent = self.absent(side) if side is not None else frozenset()
        for source, by, target in self.game.edges:
            start, end = times[source], times[target]
            if start is not None and target not in absent and (now if end is None else end) - start > by:
                return True
        return False

    def vehicle(self, state: State) -> bool:
        """Let one span end that may end now, and perhaps more, or, if none must, let the person act."""
        now, times, side = state
        must = False
        for start, least, most, end in self.game.spans:
            begun = times[start]
            if times[end] is None and begun is not None and begun + least <= now:
                must = must or begun + most == now
                new = (*times[:end], now, *times[end + 1 :])
                if not all(self.vehicle((now, new, each)) for each in self.sides(end, side)):
                    return False
        return must or self.person(state)

    def person(self, state: State) -> bool:
        """Let one more point come now, which the vehicle may answer at once, or let time go on."""
        if state not in self.known:
            self.known[state] = self.decide(state)
        return self.known[state]

    def decide(self, state: State) -> bool:
        """Say whether the person can win from a state in which the vehicle has just acted."""
        now, times, side = state
        if self.is_broken(state):
            return False
        left = [point for point, time in enumerate(times) if time is None and point not in self.absent(side)]
        if not left and (side is not None or self.game.fork is None):
            return True
        theirs = {end for _, _, _, end in self.game.spans}
        for point in left:
            new = (*times[:point], now, *times[point + 1 :])
            if point not in theirs and all(self.vehicle((now, new, each)) for each in self.sides(point, side)):
                return True
        return now < self.game.horizon and self.vehicle((now + 1, times, side))


def random_edges(chance: random.Random, points: list[int], number: int) -> list[Edge]:
    """Draw edges between different ones of some points, most of them that one comes soon after another."""
    pairs = [chance.sample(points, 2) for _ in range(number)]
    return [(source, chance.choice([-3, -2, -1, 0, 1, 2, 3, 4, 5]), target) for source, target in pairs]


def random_span(chance: random.Random, starts: list[int], end: int) -> tuple[int, int, int, int]:
    """Draw a span from some point to a given one."""
    least = chance.randint(0, 2)
    return chance.choice(starts), least, least + chance.randint(1, 3), end


def random_game(chance: random.Random) -> Game:
    """Draw a game of 4 to 6 points with one or two spans."""
    count = chance.randint(4, 6)
    points = list(range(count))
    ends = chance.sample(points[1:], chance.randint(1, 2))
    spans = [random_span(chance, [point for point in points if point not in ends[at:]], end) for at, end in enumerate(ends)]
    return Game(count, chance.randint(5, 8), tuple(random_edges(chance, points, chance.randint(2, 6))), tuple(spans))


def random_forked_game(chance: random.Random) -> Game:
    """Draw a game of 5 to 7 points: 0, one or two before the fork, the fork, and one or two on each side."""
    before = list(range(chance.randint(2, 3)))
    fork = len(before)
    left = [fork + 1 + at for at in range(chance.randint(1, 2))]
    right = [left[-1] + 1 + at for at in range(chance.randint(1, 2))]
    edges = [(fork, 0, point) for point in before] + [(point, 0, fork) for point in (*left, *right)]
    spans = []
    # One span before the fork or up to it, and perhaps one on each side.
    edges += random_edges(chance, [*before, fork], chance.randint(0, 1))
    ends = chance.sample([*before[1:], fork], 1)
    spans += [random_span(chance, [point for point in before if point not in ends], ends[0])]
    for side in (left, right):
        soon = [(chance.choice(before), chance.randint(1, 6), chance.choice(side)) for _ in range(chance.randint(0, 2))]
        late = [(chance.choice(side), -chance.randint(0, 5), chance.choice(before)) for _ in range(chance.randint(0, 2))]
        edges += soon + late
        spans += [random_span(chance, [fork], side[0])] if chance.random() < 0.5 else []
    count = 1 + right[-1]
    return Game(count, chance.randint(5, 8), tuple(edges), tuple(spans), fork, (frozenset(left), frozenset(right)))


def plain(network: Network) -> Verdict:
    """Give the verdict if all time were ours to choose."""
    return consistent((*network.bounds, *(span.bound() for span in network.spans)))


@SMALL_AND_LARGE
@pytest.mark.parametrize("draw", [random_game, random_forked_game], ids=["one", "forked"])
def test_game_agrees(number: int, draw: Callable[[random.Random], Game]) -> None:
    """A random network is controllable if and only if its game can be won; neither can be said of what is consistent only."""
    chance = random.Random(SEED + 3)
    seen: Counter[str] = Counter()
    for _ in range(number):
        game = draw(chance)
        network = game.network()
        ours = controllable(network)
        assert Play(game).can_be_won() == isinstance(ours, Holds), game
        seen[type(ours).__name__] += 1
        if isinstance(ours, Conflict):
            assert ours.short > 0
            seen["consistent only"] += isinstance(plain(network), Holds)
            if all(leg.times == 1 for leg in ours.cycle):
                assert all(leg.target == after.source for leg, after in pairwise((*ours.cycle, ours.cycle[0]))), game
            else:
                seen["passed more than once"] += 1
    print(dict(seen))
    assert number == seen["Holds"] + seen["Conflict"]
    assert min(seen["Holds"], seen["consistent only"]) > number / 20


@SMALL_AND_LARGE
def test_game_agrees_on_conflicts(number: int) -> None:
    """What a conflict names cannot be won in the game; without any one of its tags it can."""
    chance = random.Random(SEED + 4)
    seen: Counter[str] = Counter()
    while seen["conflicts"] < number:
        game = random_game(chance)
        found = controllable(game.network())
        if isinstance(found, Conflict):
            assert found.is_smallest
            assert not Play(game.only(found)).can_be_won(), game
            assert all(Play(game.only(found, left_out=tag)).can_be_won() for tag in found.tags), game
            seen.update(conflicts=1, tags=len(found.tags))
    print(dict(seen))


@SMALL_AND_LARGE
def test_slack_is_the_last_that_holds(number: int) -> None:
    """A bound lowered by its slack can be kept, and by one more it cannot, unless it is nothing already."""
    chance = random.Random(SEED + 5)
    seen: Counter[str] = Counter()
    for _ in range(number):
        game = random_game(chance)
        source, most, target = game.edges[0]
        rest = replace(game, edges=game.edges[1:])

        def holds(by: int, *, game: Game = game, edge: Edge = (source, most, target)) -> bool:
            lowered = (edge[0], edge[1] - by, edge[2])
            return isinstance(controllable(replace(game, edges=(lowered, *game.edges[1:])).network()), Holds)

        found = slack(game.network(), ("edge", 0))
        if isinstance(found, Conflict):
            assert isinstance(controllable(rest.network()), Conflict), game
            seen["cannot be mended"] += 1
        else:
            assert isinstance(found, int)
            assert holds(found), game
            assert found == max(most, 0) or not holds(found + 1), game
            seen["left" if found >= 0 else "missing"] += 1
    print(dict(seen))
    assert min(seen["cannot be mended"], seen["left"], seen["missing"]) > 0


def random_course(chance: random.Random, *, waits: bool) -> Course:
    """Draw a course of 3 to 7 points with branches and up to three clocks, some of which have to be waited for."""
    count = chance.randint(3, 7)
    stretches: list[Stretch] = []
    for end in range(1, count):
        starts = {chance.randrange(max(0, end - 3), end) for _ in range(chance.choice([1, 1, 2]))}
        for start in sorted(starts):
            least, is_given = chance.randint(0, 3), chance.random() < 0.5
            most = least + chance.randint(0, 3) if is_given or (waits and chance.random() < 0.2) else None
            stretches.append(Stretch(start, end, least, most, is_given, ("stretch", len(stretches))))
    clocks = []
    for tag in range(chance.randint(1, 3)):
        starts = {chance.randrange(count - 1) for _ in range(chance.choice([1, 1, 2]))}
        stops = {chance.randrange(min(starts) + 1, count) for _ in range(chance.choice([1, 2]))}
        within = chance.randint(2, 14)
        wait = max(0, within - chance.randint(0, 6)) if waits and chance.random() < 0.6 else None
        clocks.append(Clock(frozenset(starts), frozenset(stops), wait, within, ("clock", tag)))
    return course(stretches, clocks)


@dataclass(frozen=True)
class Walk:
    """A course walked in full: the vehicle chooses the branches and what is given, the person how long the rest takes."""

    course: Course

    def can_be_kept(self) -> bool:
        """Say whether the person can keep every clock from every beginning whatever the vehicle does."""
        ends = {stretch.end for stretch in self.course.stretches}
        roots = {stretch.start for stretch in self.course.stretches} - ends
        idle = tuple(None for _ in self.course.clocks)
        return all(self.goes_on(root, idle) for root in roots)

    def goes_on(self, point: object, shown: tuple[int | None, ...]) -> bool:
        """Say whether all is kept from a point on; `shown` is what each clock shows, None if it does not run."""
        after = []
        for clock, time in zip(self.course.clocks, shown, strict=True):
            if time is not None and point in clock.stops:
                if not (clock.least or 0) <= time <= (time if clock.most is None else clock.most):
                    return False
                after.append(0 if point in clock.starts else None)
            else:
                after.append(0 if time is None and point in clock.starts else time)
        leaving = [stretch for stretch in self.course.stretches if stretch.start == point]
        return all(self.passes(stretch, tuple(after)) for stretch in leaving)

    def passes(self, stretch: Stretch, shown: tuple[int | None, ...]) -> bool:
        """Say whether a stretch can be passed: at any time that is given, or at some time that is chosen."""
        # To wait longer than any clock asks for is of no use.
        enough = stretch.least + max((clock.least or 0 for clock in self.course.clocks), default=0)
        most = enough if stretch.most is None else stretch.most
        ways = (
            self.goes_on(stretch.end, tuple(None if time is None else time + by for time in shown))
            for by in range(stretch.least, most + 1)
        )
        return all(ways) if stretch.is_given else any(ways)


def fits(over: Course) -> bool:
    """Say whether the longest sum of each clock fits."""
    sums = [(longest(over, clock), clock.most) for clock in over.clocks]
    return all(found is None or most is None or found.ms <= most for found, most in sums)


@SMALL_AND_LARGE
@pytest.mark.parametrize("waits", [False, True], ids=["at most", "waits"])
def test_walk_agrees(number: int, *, waits: bool) -> None:
    """All ways over a course can be kept if and only if their network is controllable, and, without waits, if sums fit."""
    chance = random.Random(SEED + 6)
    seen: Counter[str] = Counter()
    for _ in range(number):
        over = random_course(chance, waits=waits)
        network = joined(over)
        assert isinstance(network, Network)
        can_be_kept = Walk(over).can_be_kept()
        assert can_be_kept == isinstance(controllable(network), Holds), over
        seen["kept" if can_be_kept else "broken"] += 1
        seen["branching"] += len({stretch.start for stretch in over.stretches}) < len(over.stretches)
        seen["sums fit, yet broken"] += fits(over) and not can_be_kept
        assert fits(over) or not can_be_kept, over
    print(dict(seen))
    assert min(seen["kept"], seen["broken"], seen["branching"]) > number / 10
    assert waits == (seen["sums fit, yet broken"] > 0)
