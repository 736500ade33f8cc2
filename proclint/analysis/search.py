"""The shortest ways through a machine to what may happen there, with some of its variables and counts followed and the rest not.

Explicit-state reachability over stops and what is followed, by a 0-1 breadth-first search (the two-valued case of R. B. Dial's
buckets, 1969): a stop costs what it costs to enter it, and ways of equal cost are taken in the order of moves. A followed field
is set to nothing at stops from which it no longer matters (live variables, G. A. Kildall 1973), so that states which differ in
it alone are one. Sources from memory.

What is not followed restricts nothing: guards on it are open, and a stop whose count is not followed can be
entered, or found spent, at any time. So a search finds ways that cannot be taken, but none shorter is missed.
"""

from collections import deque
from collections.abc import Container
from typing import NamedTuple, TypeAlias

from proclint.analysis.machine import ALIVE, Counter, Machine, Move, State, Stop
from proclint.analysis.walk import SPENT, Grade, changed, grade, mended

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


class Search:
    """A search that goes on as far as it is asked to. Fields of `target` are followed always, those of `track` while they matter.

    It can be asked for checks of `target`'s variable and for arrivals, at stops to which those of `within` lead: no others are
    entered.
    """

    def __init__(self, machine: Machine, within: Container[int], *, target: int, track: int) -> None:
        self._machine = machine
        self._counters = {stop: each for stop, each in machine.counters.items() if each.field & track}
        always = target | ALIVE
        # No state is left of one that nothing is followed of: so what leads nowhere is closed.
        self._live = [bits & track | always if stop in within else 0 for stop, bits in enumerate(machine.lives)]
        first = Node(0, machine.start & self._live[0], None, 0)
        self._met: list[set[State]] = [set() for _ in machine.stops]
        self._met[0].add(first.state)
        self._found: dict[Goal, Node] = {(0,): first}
        self._now, self._later = deque([first] if first.state else []), deque[Node]()
        self.states = 1

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
        stop = self._machine.stops[node.stop]
        if stop.tries is None:
            self._pass(node, stop, node.state)
            return
        counter = self._counters.get(node.stop)
        if counter is None:
            self._pass(node, stop, node.state)
        elif not _is_spent(node.state, counter):
            self._pass(node, stop, node.state + (1 << counter.shift))
            return
        if stop.spent is not None:
            self._follow(node, node.state, stop.spent, SPENT)

    def _pass(self, node: Node, stop: Stop, state: State) -> None:
        for index, check in enumerate(stop.checks):
            if state & check.outside:
                self._found.setdefault((node.stop, index, grade(state, check)), node)
                state = mended(state, check)
        for index, move in enumerate(stop.moves):
            self._follow(node, state, move, index)

    def _follow(self, node: Node, state: State, move: Move, index: int) -> None:
        target, change = node.stop + move.by, move.change
        if change.narrows or change.maps:
            state = changed(state, change, track=self._live[node.stop])
        else:
            state = state & change.keep | change.put
        state &= self._live[target]
        if not state:
            return
        if move.resets:
            state &= ~self._machine.resets(node.stop, move)
        met = self._met[target]
        if state in met:
            return
        after = Node(target, state, node, index)
        if not met:
            self._found[target,] = after
        met.add(state)
        self.states += 1
        (self._later if self._machine.stops[target].cost else self._now).append(after)


def _is_spent(state: State, counter: Counter) -> bool:
    return (state & counter.field) >> counter.shift == counter.tries
