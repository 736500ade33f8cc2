"""A rehearsal: a procedure walked step by step, each time by an outcome that is possible there.

A rehearsal stands at a step with all states that are possible after the outcomes chosen so far. Inside a step several ways may
lead to one outcome, as it hangs on what nobody knows which of them is gone; what comes of each is kept as a state of its own, so
that no outcome is offered which the outcomes before rule out. Only where there are more than `MOST_STATES` are they put together
into one that covers them all; then an outcome may be offered that is not possible. A state with a check that does not hold goes on
as if that had been mended, as on the ways that a check of a file shows.

Where nothing is to be chosen the rehearsal goes on by itself: into a block and out of it, past a step whose tries are used up, and
past a round for which there surely is a key, or surely none. It stands at each round of a step.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce
from operator import or_
from typing import TypeAlias

from proclint.analysis.machine import State
from proclint.analysis.outcomes import Exit
from proclint.analysis.shelf import Shelf
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.piece import Demand
from proclint.analysis.states.spots import Spot, Spots
from proclint.analysis.states.steps import ENTERED, LAST_ROUND, SPENT_OUTCOME, Layer
from proclint.analysis.time.lengths import NOTHING, Length, total
from proclint.analysis.walk import SPENT, Breach, Grade, enter, move_at, take
from proclint.model import End, Flow, Step

MOST_STATES = 64
YES, NO = "yes", "no"
# For each outcome the stop to which it leads, and all states that are possible there.
Outs: TypeAlias = Mapping[str, tuple[int, tuple[State, ...]]]


@dataclass(frozen=True, slots=True)
class Lacking:
    """Something that a step or an ending needs and that is not so, or may not be: how surely, and the values it may have."""

    demand: Demand
    grade: Grade
    found: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """An outcome that is possible, the step, ending or exit to which it leads, and how things are there.

    `is_round` holds where it leads to the next round of the same step.
    """

    outcome: str
    target: Step | End
    is_round: bool
    stop: int
    states: tuple[State, ...]
    length: Length


@dataclass(frozen=True, slots=True)
class Passing:
    """What was passed without a choice: a step that follows a block, one that was left as `spent`, or an exit of a block."""

    spot: Spot
    outcome: str


@dataclass(frozen=True, slots=True)
class Moment:
    """Where a rehearsal stands: the spot, all states that are possible, and how long it has taken.

    `passed` came since the moment before. Where there is no choice the way ends: at an ending, or as nothing leads on.
    """

    spot: Spot
    states: tuple[State, ...]
    clock: Length
    passed: tuple[Passing, ...]
    lacking: tuple[Lacking, ...]
    choices: tuple[Choice, ...]

    @property
    def is_end(self) -> bool:
        """Whether it is an ending of the procedure, or an exit of a block that is rehearsed alone."""
        return self.spot.is_end

    def choice(self, word: str) -> Choice | None:
        """Give the choice that a word names: by its outcome, else by its number from 1; nothing where it names none."""
        named = {each.outcome: each for each in self.choices}
        numbered = {str(number): each for number, each in enumerate(self.choices, 1)}
        return named.get(word) or numbered.get(word)


@dataclass(frozen=True)
class Rehearsal:
    """A flow that can be rehearsed. Every block it follows must be there, and in no ring."""

    flow: Flow
    shelf: Shelf
    laid: Laid
    spots: Spots

    def begin(self) -> Moment:
        """Stand at the first step."""
        return self._arrive(0, (self.laid.machine.start,), NOTHING)

    def choose(self, moment: Moment, choice: Choice) -> Moment:
        """Go on from a moment by one of its choices."""
        return self._arrive(choice.stop, choice.states, total((moment.clock, choice.length)))

    def _arrive(self, stop: int, states: tuple[State, ...], clock: Length) -> Moment:
        """Go on from a stop to where something is to be done or to be chosen."""
        passed: list[Passing] = []
        met: set[tuple[int, tuple[State, ...]]] = set()
        while True:
            spot = self.spots.at(stop)
            outs, lacking = self.passed(spot, states)
            # Steps that are spent may hand over to one another for ever.
            is_ring = (stop, states) in met
            if not spot.is_passed or len(outs) != 1 or is_ring:
                choices = () if is_ring or spot.is_end else tuple(self._choices(spot, outs))
                return Moment(spot, states, clock, tuple(passed), lacking, choices)
            met.add((stop, states))
            ((outcome, (stop, states)),) = outs.items()
            if self._is_told(spot, outcome):
                passed.append(Passing(spot, outcome))

    def _is_told(self, spot: Spot, outcome: str) -> bool:
        step = spot.station.step
        is_entered = outcome == ENTERED and self.is_entered(spot)
        return step is None or outcome == SPENT_OUTCOME or (is_entered and step.follow is not None)

    def is_entered(self, spot: Spot) -> bool:
        """Whether a step is entered at a spot, and not gone on with."""
        return spot.is_beginning and bool(self.laid.machine.stops[spot.first].cost)

    def passed(self, spot: Spot, states: Iterable[State]) -> tuple[Outs, tuple[Lacking, ...]]:
        """Pass a spot: give for each outcome that is possible where it leads and in what states, and what was lacking."""
        run = _Pass(self.laid, spot)
        run.go(states)
        return {outcome: (stop, _few(found)) for outcome, (stop, found) in run.outs.items()}, tuple(run.lacking())

    def _choices(self, spot: Spot, outs: Outs) -> Iterator[Choice]:
        """Give the outcomes in the order of the file, those that it does not write before, and being late last."""
        order = {each.outcome: rank for rank, each in enumerate(self._exits(spot))}
        for outcome in sorted(outs, key=lambda outcome: order.get(outcome, len(order))):
            stop, states = outs[outcome]
            target, is_round = self._target(spot, self.spots.at(stop))
            shown = {ENTERED: YES, LAST_ROUND: NO}.get(outcome, outcome)
            yield Choice(shown, target, is_round, stop, states, self.length(spot, outcome))

    def length(self, spot: Spot, outcome: str) -> Length:
        """Give how long a spot takes that is left by an outcome."""
        is_failing = any(each.is_failing for each in self._exits(spot) if each.outcome == outcome)
        return spot.length(outcome, is_failing=is_failing)

    def _exits(self, spot: Spot) -> list[Exit]:
        """Give the outcomes of a step in the order of the file, which begins with those that it does not write."""
        step = spot.station.step
        if step is None:
            return []
        return sorted(self.shelf.written(spot.flow).steps[step.name].exits, key=lambda each: each.at.start)

    def _target(self, here: Spot, there: Spot) -> tuple[Step | End, bool]:
        """Give what a choice leads to in the flow where it is made, and whether that is one more round of the same step."""
        names = (*there.station.calls, there.station.of.name)
        name = names[len(here.station.calls)]
        found = here.flow.steps.get(name) or here.flow.ends[name]
        return found, found is here.station.of and not self.is_entered(there)


def rehearsal(flow: Flow, shelf: Shelf) -> Rehearsal:
    """Make a flow ready to be rehearsed. Every block that it follows must be there, and in no ring."""
    laid = lay(flow, shelf.written(flow), shelf, Layer(shelf))
    return Rehearsal(flow, shelf, laid, Spots(flow, shelf, laid))


@dataclass
class _Pass:
    """Passes all stops of a spot, each state by itself."""

    laid: Laid
    spot: Spot
    outs: dict[str, tuple[int, list[State]]] = field(default_factory=dict)
    broken: dict[tuple[int, int], list[Breach]] = field(default_factory=dict)
    entered: list[int] = field(default_factory=list)

    def go(self, states: Iterable[State]) -> None:
        """Pass the stops in order, as no move inside a spot leads back."""
        stops = self.spot.run.stops
        covered: list[list[State]] = [[] for _ in stops]
        covered[0] = list(states)
        for index in range(len(stops)):
            here = _few(covered[index])
            self.entered.append(len(here))
            for state in here:
                self._stop(index, state, covered)

    def _stop(self, index: int, state: State, covered: list[list[State]]) -> None:
        machine, at = self.laid.machine, self.spot.first + index
        entered = enter(machine, state, at)
        for breach in entered.breaches:
            self.broken.setdefault((index, breach.check), []).append(breach)
        moves = (SPENT,) if entered.is_spent else range(len(machine.stops[at].moves))
        for number in moves:
            outcome = self._names.get((index, number))
            after = take(machine, entered.state, at, number)
            if after is None:
                continue
            target = at + move_at(machine, at, number).by
            if outcome is None:
                covered[target - self.spot.first].append(after)
            else:
                self.outs.setdefault(outcome, (target, []))[1].append(after)

    @cached_property
    def _names(self) -> Mapping[tuple[int, int], str]:
        return {(out.stop, out.move): out.outcome for out in self.spot.run.outs}

    def lacking(self) -> Iterator[Lacking]:
        """Give what was lacking, where and how surely."""
        cast = self.laid.cast
        for (index, check), breaches in self.broken.items():
            demand = self.laid.demand(self.spot.first + index, check)
            number = cast.number[demand.variable]
            mask = reduce(or_, (cast.layout.masks(each.state)[number] for each in breaches))
            yield Lacking(demand, self._grade(index, breaches), cast.words(number, mask))

    def _grade(self, index: int, breaches: list[Breach]) -> Grade:
        """Say how surely something is lacking: `must` where it is in every state, `unstated` where it is no more than that."""
        grades = {each.grade for each in breaches}
        if grades == {"unstated"}:
            return "unstated"
        return "must" if grades == {"must"} and len(breaches) == self.entered[index] else "may"


def _few(states: Iterable[State]) -> tuple[State, ...]:
    """Leave out every state that another covers; put all together where too many are left."""
    kept: list[State] = []
    for state in sorted(set(states), key=int.bit_count, reverse=True):
        if not any(state & each == state for each in kept):
            kept.append(state)
    return tuple(sorted(kept)) if len(kept) <= MOST_STATES else (reduce(or_, kept),)
