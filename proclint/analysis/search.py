"""The shortest ways through a machine to what may happen there, with some of its variables and counts followed and the rest not.

Explicit-state reachability over stops and what is followed, by a 0-1 breadth-first search (the two-valued case of R. B. Dial's
buckets, 1969): a stop costs what it costs to enter it, and ways of equal cost are taken in the order of moves. A followed field
is set to nothing at stops from which it no longer matters (live variables, G. A. Kildall 1973), so that states which differ in
it alone are one. Sources from memory.

What is not followed restricts nothing: guards on it are open, and a stop whose count is not followed can be
entered, or found spent, at any time. So a search finds ways that cannot be taken, but none shorter is missed.
"""

from collections import deque
from collections.abc import Container, Sequence
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


class _Onward(NamedTuple):
    """A move, by its number, with no more than what is followed where it leads: `keep` of a state and `put` beside it.

    What is narrowed and mapped before that is in `narrows` and `maps`.
    """

    number: int
    target: int
    is_free: bool
    keep: int
    put: int
    narrows: tuple[Narrow, ...]
    maps: tuple[Map, ...]


class _Point(NamedTuple):
    """A stop as a search sees it: its checks of what is followed, its moves, and its count, if that is followed."""

    checks: tuple[tuple[int, Check], ...]
    moves: tuple[_Onward, ...]
    counter: Counter | None
    spent: tuple[_Onward, ...]


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
        stop, counter = self._machine.stops[at], self._machine.counters.get(at)
        seen = self._live[at]
        checks = tuple((index, check) for index, check in enumerate(stop.checks) if check.outside & seen)
        moves = tuple(onward for index, move in enumerate(stop.moves) if (onward := self._onward(at, index, move)))
        spent = self._onward(at, SPENT, stop.spent) if stop.spent is not None else None
        is_counted = counter is not None and counter.field & self._track
        return _Point(checks, moves, counter if is_counted else None, () if spent is None else (spent,))

    def _onward(self, at: int, index: int, move: Move) -> _Onward | None:
        """Give a move as far as it is followed, nothing where it leads nowhere."""
        target, change, seen = at + move.by, move.change, self._live[at]
        followed = self._live[target] & ~(self._machine.resets(at, move) if move.resets else 0)
        if not followed:
            return None
        narrows = tuple(each for each in change.narrows if each.outside & seen)
        maps = tuple(each for each in change.maps if each.values << each.shift & followed)
        is_free = not self._machine.stops[target].cost
        return _Onward(index, target, is_free, change.keep & followed, change.put & followed, narrows, maps)
