"""Parts of a machine: runs of stops that can stand anywhere, with the outcomes by which they are left.

What a part does to a state that covers all in which it can be entered is asked again and again, for a shared block by many
files: so each part remembers its answers. Only where a check may fail is a machine put together from the parts.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple, Protocol, TypeAlias

from proclint.analysis.machine import ALIVE, State, Stop
from proclint.analysis.suspects import Suspect, changed, suspects_at
from proclint.model import End, Step

Tables: TypeAlias = Mapping[int, tuple[int, ...]]
# Where a move leads: to a stop, or out as an outcome.
Target: TypeAlias = int | str


class Demand(NamedTuple):
    """What a check asks, for the person who reads the result: the rule, its subject, and the line of the step that needs it.

    `line` is -1 where none does; `text` is what is done there. `variable` has to be one of `good`. `hazard` is set where a
    caution is asked for.
    """

    rule: str
    subject: str
    line: int
    text: str
    variable: str
    good: tuple[str, ...]
    hazard: str = ""


class Out(NamedTuple):
    """A move that leaves a part: its stop and index there, and the outcome."""

    stop: int
    move: int
    outcome: str


class Passed(NamedTuple):
    """What comes of entering a part: a state for each outcome by which it can be left, and whether some check may fail."""

    outs: tuple[tuple[str, State], ...]
    is_suspect: bool


class Part(Protocol):
    """Stops, of which the first is entered first. `asked` are the demands of the checks of each stop that has any.

    `counted` are the stops that can be entered only so often; `pieces` the parts of which it was put together, if it was.
    """

    @property
    def stops(self) -> tuple[Stop, ...]:
        """All stops."""

    @property
    def outs(self) -> tuple[Out, ...]:
        """The moves that leave it."""

    @property
    def asked(self) -> Mapping[int, tuple[Demand, ...]]:
        """What is asked at each stop."""

    @property
    def counted(self) -> tuple[int, ...]:
        """The stops with tries."""

    @property
    def pieces(self) -> tuple["Laid", ...]:
        """What it was put together from."""

    @property
    def touched(self) -> State:
        """All bits that some move inside changes."""

    @property
    def matters(self) -> State:
        """All bits that are asked or changed inside, and the one that is always set."""

    def passed(self, state: State) -> Passed:
        """Say what comes of entering it in any of the states that one covers."""

    def passed_apart(self, state: State) -> tuple[Passed, State]:
        """Say the same, but for what does not matter inside, which is given beside it."""

    def suspects(self, state: State) -> Iterator[Suspect]:
        """Give the checks that may fail where it is entered in any of the states that one covers."""


class Laid(NamedTuple):
    """A part inside another: the step or ending that it is of, where it begins, and the part."""

    of: Step | End
    base: int
    part: Part


class Remembering(Protocol):
    """A part that keeps what came of each state in which it was entered."""

    @property
    def known(self) -> dict[State, Passed]:
        """What came of it, by what matters of the state."""

    @property
    def matters(self) -> State:
        """All bits that are asked or changed inside, and the one that is always set."""

    def pass_through(self, state: State) -> Passed:
        """Work out what comes of a state."""


def passed(part: Remembering, state: State) -> Passed:
    """Say what comes of entering a part in any of the states that one covers."""
    found, rest = passed_apart(part, state)
    return Passed(tuple([(outcome, after | rest) for outcome, after in found.outs]), found.is_suspect) if rest else found


def passed_apart(part: Remembering, state: State) -> tuple[Passed, State]:
    """Give what comes of entering a part with no more than what matters inside, and the rest: it is the same as it was."""
    asked = state & part.matters
    found = part.known.get(asked)
    if found is None:
        found = part.known[asked] = part.pass_through(asked)
    return found, state ^ asked


@dataclass(frozen=True, eq=False)
class Run:
    """A part of single stops, in which every move leads onward."""

    stops: tuple[Stop, ...]
    outs: tuple[Out, ...]
    asked: Mapping[int, tuple[Demand, ...]]
    counted: tuple[int, ...]
    known: dict[State, Passed] = field(default_factory=dict)

    @property
    def pieces(self) -> tuple[Laid, ...]:
        """Nothing: it is whole."""
        return ()

    def passed(self, state: State) -> Passed:
        """Say what comes of entering it in any of the states that one covers."""
        return passed(self, state)

    def passed_apart(self, state: State) -> tuple[Passed, State]:
        """Say the same, but for what does not matter inside, which is given beside it."""
        return passed_apart(self, state)

    @cached_property
    def touched(self) -> State:
        """All bits that some move inside changes."""
        bits = 0
        for stop in self.stops:
            for move in stop.moves:
                bits |= ~move.change.keep | move.change.put
                for each in move.change.maps:
                    bits |= each.values << each.shift | each.flag
        return bits

    @cached_property
    def matters(self) -> State:
        """All bits that are asked or changed inside, and the one that is always set."""
        bits = self.touched | ALIVE
        for stop in self.stops:
            for check in stop.checks:
                bits |= check.inside | check.outside | check.flag
            for move in stop.moves:
                bits |= move.change.reads
        return bits

    @cached_property
    def _names(self) -> Mapping[tuple[int, int], str]:
        return {(stop, move): outcome for stop, move, outcome in self.outs}

    def suspects(self, state: State) -> Iterator[Suspect]:
        """Give the checks that may fail where it is entered in any of the states that one covers."""
        covered = [0] * len(self.stops)
        self._pass(state, covered)
        for index, (here, stop) in enumerate(zip(covered, self.stops, strict=True)):
            if here:
                yield from suspects_at(index, stop, here)

    def pass_through(self, state: State) -> Passed:
        """Pass all stops in order, each once, as every move leads onward."""
        return self._pass(state, [0] * len(self.stops))

    def _pass(self, state: State, covered: list[State]) -> Passed:
        covered[0] = state
        names, outs, is_suspect = self._names, dict[str, State](), False
        for index, stop in enumerate(self.stops):
            here = covered[index]
            if not here:
                continue
            if stop.spent is not None:
                outs["spent"] = outs.get("spent", 0) | here
            for _, _, inside, outside, flag in stop.checks:
                if here & (outside | flag):
                    is_suspect = True
                    here = here & ~(outside | flag) | inside
            for number, (by, change, _) in enumerate(stop.moves):
                after = changed(here, change)
                if by:
                    covered[index + by] |= after
                elif after:
                    name = names[index, number]
                    outs[name] = outs.get(name, 0) | after
        return Passed(tuple(outs.items()), is_suspect)
