"""Parts put together: a flow of steps, each with the parts that its beginning, rounds and endings are."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce
from heapq import heappop, heappush
from operator import or_
from typing import NamedTuple

from proclint.analysis.machine import ALIVE, Change, Move, State, Stop
from proclint.analysis.states.onward import onward
from proclint.analysis.states.piece import Demand, Laid, Out, Part, Passed, Target, passed, passed_apart
from proclint.analysis.suspects import Suspect
from proclint.analysis.walk import SPENT
from proclint.model import End, Step


class Wire(NamedTuple):
    """Where an outcome of a part leads: to another part by its number, or out of the whole as an outcome of that.

    `resets`: the tries of the part that it leads to count anew.
    """

    target: Target
    resets: bool = False


@dataclass(frozen=True, eq=False)
class Joined:
    """Parts put together; an outcome without a wire ends the way. `counts` are the fields of all variables that count."""

    parts: tuple[tuple[Step | End, Part], ...]
    wires: Mapping[tuple[int, str], Wire]
    counts: tuple[State, ...] = ()
    known: dict[State, Passed] = field(default_factory=dict)

    def passed(self, state: State) -> Passed:
        """Say what comes of entering it in any of the states that one covers."""
        return passed(self, state)

    def passed_apart(self, state: State) -> tuple[Passed, State]:
        """Say the same, but for what does not matter inside, which is given beside it."""
        return passed_apart(self, state)

    def suspects(self, state: State) -> Iterator[Suspect]:
        """Give the checks that may fail where it is entered in any of the states that one covers."""
        covered = [0] * len(self.parts)
        self._pass(state, covered)
        for here, (_, base, part) in zip(covered, self.pieces, strict=True):
            if here and part.passed(here).is_suspect:
                for each in part.suspects(here):
                    yield Suspect(base + each.stop, each.check, each.is_only_unstated)

    def pass_through(self, state: State) -> Passed:
        """Pass all parts until nothing new comes up."""
        return self._pass(state, [0] * len(self.parts))

    def _pass(self, state: State, covered: list[State]) -> Passed:  # noqa: PLR0915 - the inner loop of every check
        """Pass all parts until nothing new comes up; note in what state each can be entered.

        A part that stands in several places, as a block before each ending, is passed once with what comes from all of them; what
        it does not touch goes on from each place as it came.
        """
        parts, leads, same, rank = self.parts, self._leads, self._same, self._rank
        outs, is_suspect = dict[str, State](), False
        times = [0] * len(parts)
        left_inside: list[tuple[tuple[str, State], ...]] = [()] * len(parts)
        covered[0] = state
        waiting, is_waiting = [(0, 0)], bytearray(len(parts))
        while waiting:
            at = heappop(waiting)[1]
            is_waiting[at] = False
            here, part, places = covered[at], parts[at][1], same[at]
            if len(places) == 1:
                (left, may_fail), rest = part.passed_apart(here)
            else:
                first = places[0]
                left, may_fail = part.passed(reduce(or_, [covered[place] for place in places]))
                if left != left_inside[first]:
                    left_inside[first] = left
                    for place in places:
                        if covered[place] and not is_waiting[place] and place != at:
                            is_waiting[place] = True
                            heappush(waiting, (rank[place], place))
                touched = part.touched
                rest, left = here & ~touched, tuple([(outcome, after & touched) for outcome, after in left])
            is_suspect = is_suspect or may_fail
            to = leads[at]
            for outcome, after in left:
                target = to.get(outcome)
                if isinstance(target, str):
                    outs[target] = outs.get(target, 0) | after | rest
                elif target is not None and covered[target] != (joined := covered[target] | after | rest):
                    times[target] += 1
                    covered[target] = self._grown(covered[target], joined) if times[target] > _MOST_TIMES else joined
                    if not is_waiting[target]:
                        is_waiting[target] = True
                        heappush(waiting, (rank[target], target))
        return Passed(tuple(outs.items()), is_suspect)

    @cached_property
    def _leads(self) -> list[dict[str, Target]]:
        """Where each part leads by each outcome that has a wire."""
        found: list[dict[str, Target]] = [{} for _ in self.parts]
        for (at, outcome), wire in self.wires.items():
            found[at][outcome] = wire.target
        return found

    def _grown(self, known: State, more: State) -> State:
        """Join states; a count that grows again and again is taken for any, as it would go on one by one to the last."""
        joined = known | more
        for count in self.counts:
            if (joined ^ known) & count:
                joined |= count
        return joined

    @cached_property
    def _rank(self) -> list[int]:
        """An order in which what leads somewhere comes before it, so that most parts are passed once.

        What loops together stands together, to be passed until nothing new comes of it before what follows is; endings come last.
        """
        leading: list[list[int]] = [[] for _ in self.parts]
        for (at, _), wire in self.wires.items():
            if isinstance(wire.target, int):
                leading[at].append(wire.target)
        keys = onward(leading)
        order = sorted(range(len(self.parts)), key=lambda at: (isinstance(self.parts[at][0], End), keys[at]))
        rank = [0] * len(self.parts)
        for place, at in enumerate(order):
            rank[at] = place
        return rank

    @cached_property
    def matters(self) -> State:
        """All bits that are asked or changed inside, and the one that is always set."""
        bits = ALIVE
        for _, part in self.parts:
            bits |= part.matters
        return bits

    @cached_property
    def _same(self) -> tuple[tuple[int, ...], ...]:
        """The numbers of all places where one block stands, for each part; a run is short, and passed by itself at each."""
        found: dict[int, list[int]] = {}
        for number, (_, part) in enumerate(self.parts):
            found.setdefault(id(part), []).append(number)
        return tuple(
            tuple(found[id(part)]) if isinstance(part, Joined) else (number,) for number, (_, part) in enumerate(self.parts)
        )

    @cached_property
    def touched(self) -> State:
        """All bits that some move inside changes."""
        bits = 0
        for _, part in self.parts:
            bits |= part.touched
        return bits

    @cached_property
    def pieces(self) -> tuple[Laid, ...]:
        """The parts, each with the stop at which it begins."""
        laid, base = [], 0
        for of, part in self.parts:
            laid.append(Laid(of, base, part))
            base += len(part.stops)
        return tuple(laid)

    @cached_property
    def asked(self) -> Mapping[int, tuple[Demand, ...]]:
        """What is asked at each stop."""
        return {base + at: demands for _, base, part in self.pieces for at, demands in part.asked.items()}

    @cached_property
    def counted(self) -> tuple[int, ...]:
        """The stops with tries."""
        return tuple(base + at for _, base, part in self.pieces for at in part.counted)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """All stops, every move led where it leads."""
        return self._wired[0]

    @property
    def outs(self) -> tuple[Out, ...]:
        """The moves that leave the whole."""
        return self._wired[1]

    @cached_property
    def _wired(self) -> tuple[tuple[Stop, ...], tuple[Out, ...]]:
        stops = [stop for _, _, part in self.pieces for stop in part.stops]
        outs = []
        for number, (_, base, part) in enumerate(self.pieces):
            for out in part.outs:
                wire, index = self.wires.get((number, out.outcome)), base + out.stop
                stops[index] = self._led(stops[index], out.move, index, wire)
                if wire is not None and isinstance(wire.target, str):
                    outs.append(Out(index, out.move, wire.target))
        return tuple(stops), tuple(outs)

    def _led(self, stop: Stop, number: int, index: int, wire: Wire | None) -> Stop:
        move = stop.spent if number == SPENT else stop.moves[number]
        assert move is not None
        if wire is None:
            move = _CLOSED
        elif isinstance(wire.target, int):
            _, base, part = self.pieces[wire.target]
            resets = tuple(base + each - index for each in part.counted) if wire.resets else ()
            move = Move(base - index, move.change, resets)
        if number == SPENT:
            return stop._replace(spent=None if wire is None else move)
        return stop._replace(moves=(*stop.moves[:number], move, *stop.moves[number + 1 :]))


# A part entered in new states more often than this stands in a loop that counts.
_MOST_TIMES = 4

# What no state passes, whatever the layout.
_CLOSED = Move(0, Change((), (), 0, (), 0, 0, ()))
