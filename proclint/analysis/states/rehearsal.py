"""A procedure walked by a person: the spot at which he stands, what can come of it, and what he knows then.

At a spot he chooses among the outcomes that some state leaves open; where only one is left of something that nobody does, as a
fork on the gearbox, it is taken for him.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.outcomes import Exit
from proclint.analysis.shelf import Shelf
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.spots import Kind, Spot, Spots, spots_of
from proclint.analysis.states.stand import Lack, Passed, Stand, passed
from proclint.analysis.states.steps import ENTERED, LAST_ROUND, Layer
from proclint.analysis.states.watching import watched
from proclint.analysis.time.watch import Watch
from proclint.model import Procedure

# What a gate is asked: whether there is one more key of a group.
_GATE_WORDS = {ENTERED: "yes", LAST_ROUND: "no"}


class Leg(NamedTuple):
    """A spot that was left, the outcome and, where it was a choice among several, how a script says it."""

    spot: Spot
    outcome: str
    script: str


class Option(NamedTuple):
    """An outcome that is open: its name, where it leads, and how things stand there."""

    name: str
    target: Spot
    stand: Stand
    is_failing: bool


@dataclass(frozen=True)
class Moment:
    """Where a person stands, what is possible there, what the watch shows, and the way here.

    The last `fresh` legs of the way are those since the last choice.
    """

    rehearsal: "Rehearsal"
    spot: Spot
    stand: Stand
    watch: Watch
    way: tuple[Leg, ...] = ()
    fresh: int = 0

    @cached_property
    def _passed(self) -> Passed:
        return passed(self.rehearsal.laid, self.spot, self.stand)

    @property
    def lacks(self) -> tuple[Lack, ...]:
        """What does not hold here."""
        return self._passed.lacks

    @cached_property
    def options(self) -> tuple[Option, ...]:
        """The outcomes that are open, in the order in which they are written; none at an ending."""
        if self.spot.is_last:
            return ()
        found = self._passed.open
        exits = {each.outcome: each for each in _exits(self.spot)}
        order = [*(name for name in exits if name in found), *(name for name in found if name not in exits)]
        return tuple(self._option(name, found[name], exits.get(name)) for name in order)

    def _option(self, name: str, to: tuple[int, Stand], leaving: Exit | None) -> Option:
        is_failing = leaving is not None and leaving.is_failing
        shown = _GATE_WORDS[name] if self.spot.kind is Kind.GATE else name
        return Option(shown, self.rehearsal.spots.at(to[0]), to[1], is_failing)

    @property
    def is_passed(self) -> bool:
        """Whether nobody has to be asked or told what to do here, as only one thing can come of it."""
        if self.spot.is_last or len(self.options) != 1:
            return False
        step = self.spot.step
        return self.spot.kind is not Kind.BODY or (step is not None and not (step.lines or step.ask or step.prompt))

    def take(self, name: str) -> "Moment":
        """Give the moment after an outcome that is open, at the next spot where somebody is needed."""
        option = next(each for each in self.options if each.name == name)
        return replace(self, fresh=0).through(option).to_next()

    def leave(self, outcome: str) -> "Moment":
        """Give the moment at the very next spot after an outcome as the machine knows it."""
        shown = _GATE_WORDS[outcome] if self.spot.kind is Kind.GATE else outcome
        return self.through(next(each for each in self.options if each.name == shown))

    def through(self, option: Option) -> "Moment":
        """Give the moment at the very next spot."""
        leg = Leg(self.spot, option.name, self._script(option) if len(self.options) > 1 else "")
        watch = watched(self.watch, self.spot, option.name, target=option.target, is_failing=option.is_failing)
        return Moment(self.rehearsal, option.target, option.stand, watch, (*self.way, leg), self.fresh + 1)

    def _script(self, option: Option) -> str:
        # A comma parts the outcomes of a script, so what holds one is said by its number.
        return str(self.options.index(option) + 1) if "," in option.name else option.name

    def to_next(self) -> "Moment":
        """Go on to where somebody is needed."""
        moment = self
        while moment.is_passed:
            moment = moment.through(moment.options[0])
        return moment


@dataclass(frozen=True)
class Rehearsal:
    """A procedure laid out to be walked."""

    procedure: Procedure
    shelf: Shelf

    @cached_property
    def laid(self) -> Laid:
        """The procedure laid out. Every block must be there, and in no ring."""
        return lay(self.procedure, self.shelf.written(self.procedure), self.shelf, Layer(self.shelf))

    @cached_property
    def spots(self) -> Spots:
        """All spots."""
        return spots_of(self.procedure, self.shelf, self.laid)

    def start(self) -> Moment:
        """Give the moment at the very first spot."""
        return Moment(self, self.spots.at(0), Stand((self.laid.machine.start,)), Watch())

    def begin(self) -> Moment:
        """Give the moment at which somebody is needed first."""
        return self.start().to_next()


def _exits(spot: Spot) -> tuple[Exit, ...]:
    """Give the exits of a step as written; those of the step that follows the block, at an exit of a block."""
    caller = spot.frame.caller
    if spot.step is not None:
        return spot.frame.written.steps[spot.name].exits
    if caller is None or caller.step is None:
        return ()
    return tuple(each for each in caller.frame.written.steps[caller.name].exits if each.outcome == spot.name)
