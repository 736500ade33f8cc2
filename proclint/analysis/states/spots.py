"""Where in a procedure a stop of its machine is: the step or ending, its round, its flow, and what letters mean there."""

from bisect import bisect_right
from dataclasses import dataclass, field, replace
from functools import cached_property

from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.shelf import Shelf
from proclint.analysis.states.binding import Binding, alone, inside
from proclint.analysis.states.laying import Laid, Station
from proclint.analysis.states.piece import Joined, Part, Run
from proclint.analysis.states.steps import ENTERED, LAST_ROUND, LATE, SPENT_OUTCOME
from proclint.analysis.time.lengths import NOTHING, Length
from proclint.analysis.time.parts import Pace
from proclint.model import End, Flow, Step


@dataclass(frozen=True)
class Spot:
    """A run of stops that is passed at once: the beginning of a step, one round of it, the question before a round, or an end.

    `first` is its first stop. `turn` is the number of the round, from 1, for steps with rounds, and 0 for others; `key` is the
    key of that round, if its rounds are for keys.
    """

    first: int
    run: Run
    station: Station
    flow: Flow
    binding: Binding
    pace: Pace
    turn: int = 0
    key: str = ""

    @cached_property
    def outcomes(self) -> frozenset[str]:
        """What it can be left by."""
        return frozenset(out.outcome for out in self.run.outs)

    @property
    def is_beginning(self) -> bool:
        """Whether a step is entered here, or a round that nobody has to decide on."""
        return ENTERED in self.outcomes and not self.is_question

    @property
    def is_question(self) -> bool:
        """Whether it hangs on how many keys are here whether there is a round."""
        return LAST_ROUND in self.outcomes

    @property
    def is_exit(self) -> bool:
        """Whether a block that was followed is left here."""
        return not self.station.is_step and bool(self.station.calls)

    @property
    def is_end(self) -> bool:
        """Whether the way ends here."""
        return not self.station.is_step and not self.station.calls

    @property
    def is_passed(self) -> bool:
        """Whether nothing is done here, and as a rule nothing is to be chosen."""
        return self.is_beginning or self.is_question or self.is_exit

    @property
    def letters(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The keys that each letter means which is no group of the file itself."""
        return self.binding.keys

    def length(self, outcome: str, *, is_failing: bool) -> Length:
        """Give how long it takes when it is left by an outcome; what fails may do so at its first line that can."""
        step = self.station.step
        if step is None or outcome == SPENT_OUTCOME or self.is_beginning or self.is_question:
            return NOTHING
        whole = self.pace.step(step)
        if outcome.startswith(LATE):
            return whole.or_nothing
        return replace(whole, least=_least_to_fail(step, self.pace)) if is_failing else whole


def _least_to_fail(step: Step, pace: Pace) -> int:
    """Give how long a step takes at least until something in it can have failed."""
    taken = 0
    for part in pace.parts(step):
        taken += part.length.least
        if any(fails_by_itself(line) for line, _ in part.lines):
            break
    return taken


@dataclass(frozen=True)
class Spots:
    """The spots of a flow that was laid out, each worked out once."""

    flow: Flow
    shelf: Shelf
    laid: Laid
    _known: dict[int, Spot] = field(default_factory=dict)

    def at(self, stop: int) -> Spot:
        """Give the spot to which a stop belongs."""
        if stop not in self._known:
            self._known[stop] = self._found(stop)
        return self._known[stop]

    def _found(self, stop: int) -> Spot:
        spot = _Outer(self.flow, alone(self.flow, self.laid.cast), Pace.of(self.flow, self.shelf.catalogue))
        part: Part = self.laid.piece
        base, turn, key = 0, 0, ""
        while isinstance(part, Joined):
            number = bisect_right(part.pieces, stop - base, key=lambda each: each.base) - 1
            of, offset, inner = part.pieces[number]
            base += offset
            turn, key = 0, ""
            if isinstance(of, Step) and of.loop is not None:
                turn = 1 + _rounds_before(part, number)
                key = spot.key_of(of, turn)
                spot = spot.in_round(of, key)
            if isinstance(inner, Joined):
                spot = spot.inside(of, self.shelf)
            part = inner
        assert isinstance(part, Run)
        return Spot(base, part, self.laid.station(stop), spot.flow, spot.binding, spot.pace, turn, key)


def _rounds_before(part: Joined, number: int) -> int:
    """Count the rounds of a step that come before one of its parts."""
    of = part.parts[number][0]
    before = (each for other, each in part.parts[:number] if other is of)
    return sum(not any(out.outcome == ENTERED for out in each.outs) for each in before)


@dataclass(frozen=True, slots=True)
class _Outer:
    """What is so at some depth of blocks: the flow, what its letters mean, and how long its lines take."""

    flow: Flow
    binding: Binding
    pace: Pace

    def key_of(self, step: Step, turn: int) -> str:
        """Give the key of a round, nothing where rounds are counted only."""
        groups = step.loop.groups if step.loop is not None else ()
        return dict(enumerate((key for word in groups for key in self.binding.keys_of(word)), 1)).get(turn, "")

    def in_round(self, step: Step, key: str) -> "_Outer":
        """Give what is so in the round of a key."""
        return replace(self, binding=self.binding.with_key(step.loop.letter, key)) if step.loop is not None and key else self

    def inside(self, of: object, shelf: Shelf) -> "_Outer":
        """Give what is so in the block that a step follows, or that comes before an ending."""
        if isinstance(of, Step) and of.follow is not None:
            block = shelf.blocks[of.follow.block]
            return _Outer(block, inside(block, of.follow, self.binding), self.pace.inside(of.follow))
        assert isinstance(of, End)
        block = shelf.blocks[of.through]
        return _Outer(block, inside(block, None, self.binding), self.pace)
