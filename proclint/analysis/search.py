"""The shortest ways through a machine to what may happen there, with some of its variables and counts followed and the rest not.

Explicit-state reachability over stops and what is followed, by a 0-1 breadth-first search (the two-valued case of R. B. Dial's
buckets, 1969): a stop costs what it costs to enter it, and ways of equal cost are taken in the order of moves. A followed field
is set to nothing at stops from which it no longer matters (live variables, G. A. Kildall 1973), so that states which differ in
it alone are one. Sources from memory.

What is not followed restricts nothing: guards on it are open, and a stop whose count is not followed can be
entered, or found spent, at any time. So a search finds ways that cannot be taken, but none shorter is missed.
"""

from collections import deque
from collections.abc import Container, Iterable, Sequence
from typing import NamedTuple, TypeAlias

from proclint.analysis.machine import ALIVE, Check, Counter, Machine, Map, Move, Narrow, State
from proclint.analysis.walk import SPENT, Grade, grade, mapped, mended, narrowed

Way: TypeAlias = tuple[tuple[int, int], ...]

# A stop is arrived at; or a check of it is broken in a certain grade.
Goal: TypeAlias = tuple[int] | tuple[int, int, Grade]


class Node(NamedTuple):
    """A stop that is entered in a state, and the node and move by which it was come to."""

    stop: int
    state: State
    before: "Node | None"
    move: int

    def way(self) -> Way:
        """Give the moves that lead here, each as its stop and its index there."""
        found, node = [], self
        while node.before is not None:
            found.append((node.before.stop, node.move))
            node = node.before
        return tuple(reversed(found))

    @property
    def first(self) -> State:
        """The state in which the way to it begins, as far as it is followed."""
        node = self
        while node.before is not None:
            node = node.before
        return node.state


# A move as far as it is followed: its index and target, whether it costs nothing to enter that, what is kept of a state and put
# beside it, and what is narrowed and mapped before. Bare tuples, as a search makes one of each move that it comes to.
_Onward: TypeAlias = tuple[int, int, bool, int, int, tuple[Narrow, ...], tuple[Map, ...]]
# A stop as far as it is followed: its checks, its moves, its count if that is followed, and the move when it is spent.
_Point: TypeAlias = tuple[tuple[tuple[int, Check], ...], tuple[_Onward, ...], Counter | None, tuple[_Onward, ...]]


class Search:
    """A search that goes on as far as it is asked to. Fields of `target` are followed always, those of `track` while they matter.

    It can be asked for checks of `target`'s variable and for arrivals, at stops to which those of `within` lead: no others are
    entered. It begins in all of `starts` at once.
    """

    def __init__(self, machine: Machine, starts: Sequence[State], within: Container[int], *, target: int, track: int) -> None:
        self._machine = machine
        self._track = track
        always = target | ALIVE
        # No state is left of one that nothing is followed of: so what leads nowhere is closed.
        self._live = [bits & track | always if stop in within else 0 for stop, bits in enumerate(machine.lives)]
        first = [Node(0, state, None, 0) for state in dict.fromkeys(self.seen_at_first(each) for each in starts) if state]
        # Sets are made where they are needed: most stops are never come to.
        self._met: list[set[State] | None] = [None] * len(machine.stops)
        self._met[0] = {node.state for node in first}
        self._found: dict[Goal, Node] = dict(zip(((0,),), first, strict=False))
        self._now, self._later = deque(first), deque[Node]()
        self._points: list[_Point | None] = [None] * len(machine.stops)
        self.states = max(1, len(first))

    def seen_at_first(self, start: State) -> State:
        """Give what is followed of a start."""
        return start & self._live[0]

    def find(self, goal: Goal, *, most: int) -> Node | None:
        """Give the node of a shortest way to a goal; None if there is none.

        It gives up where it has come to more than `most` states, and knows nothing of what it has not found.
        """
        found = self._found
        while goal not in found and self._now and self.states <= most:
            self._visit(self._now.popleft())
            if not self._now:
                self._now, self._later = self._later, self._now
        return found.get(goal)

    def _visit(self, node: Node) -> None:
        at, state = node.stop, node.state
        point = self._points[at]
        if point is None:
            point = self._points[at] = self._point(at)
        checks, moves, counter, spent = point
        if counter is not None:
            if (state & counter.field) >> counter.shift == counter.tries:
                self._follow(node, state, spent)
                return
            state += 1 << counter.shift
        for index, check in checks:
            if state & check.outside:
                self._found.setdefault((at, index, grade(state, check)), node)
                state = mended(state, check)
        self._follow(node, state, moves)
        if counter is None and spent:
            # Its count is not followed: it may be found spent at any time.
            self._follow(node, node.state, spent)

    def _follow(self, node: Node, state: State, moves: tuple[_Onward, ...]) -> None:
        for number, target, is_free, keep, put, narrows, maps in moves:
            after = state
            if narrows:
                after = narrowed(state, narrows)
                if not after:
                    continue
            for each in maps:
                after = mapped(after, each)
            after = after & keep | put
            met = self._met[target]
            if met is not None and after in met:
                continue
            further = Node(target, after, node, number)
            if met is None:
                self._found[target,] = further
                self._met[target] = {after}
            else:
                met.add(after)
            self.states += 1
            (self._now if is_free else self._later).append(further)

    def _point(self, at: int) -> _Point:
        """Give a stop with no more than what is followed of it."""
        stop, seen = self._machine.stops[at], self._live[at]
        checks = tuple([(index, check) for index, check in enumerate(stop.checks) if check.outside & seen]) if stop.checks else ()
        moves = self._onward(at, enumerate(stop.moves))
        if stop.tries is None:
            return checks, moves, None, ()
        counter = self._machine.counters[at]
        spent = () if stop.spent is None else self._onward(at, ((SPENT, stop.spent),))
        return checks, moves, counter if counter.field & self._track else None, spent

    def _onward(self, at: int, moves: Iterable[tuple[int, Move]]) -> tuple[_Onward, ...]:
        """Give moves as far as they are followed, without those that lead nowhere."""
        found, live, stops, seen = list[_Onward](), self._live, self._machine.stops, self._live[at]
        for index, move in moves:
            target, change = at + move.by, move.change
            followed = live[target]
            if followed and move.resets:
                followed &= ~self._machine.resets(at, move)
            if followed:
                narrows, maps = change.narrows, change.maps
                if narrows:
                    narrows = tuple([each for each in narrows if each.outside & seen])
                if maps:
                    maps = tuple([each for each in maps if each.values << each.shift & followed])
                keep, put = change.keep & followed, change.put & followed
                found.append((index, target, not stops[target].cost, keep, put, narrows, maps))
        return tuple(found)
