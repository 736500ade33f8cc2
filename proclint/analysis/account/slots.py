"""The slots of each kind of key: where how many are used is read or changed, and how many may be used before and after."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.machine import State
from proclint.analysis.states.covered import Covered, Known, Where
from proclint.analysis.walk import SPENT, changed, move_at
from proclint.model import Procedure, Step


class SlotLine(NamedTuple):
    """A step that reads or changes how many slots are used, how many may be before it and how many after, by its outcomes.

    `within` is the step of the file that leads into the block where it stands, empty where it is the file's own.
    """

    step: Step
    within: str
    is_read: bool
    before: Known
    after: tuple[tuple[str, Known], ...]


class Ledger(NamedTuple):
    """The slots of one kind: the cap as the procedure has it, nothing where it names none, and what is done to them in order."""

    kind: str
    cap: int | None
    lines: tuple[SlotLine, ...]

    @property
    def passes_cap(self) -> bool:
        """Whether more slots than the cap may be used after some step, where it is known at all how many are."""
        known = [after for line in self.lines for _, after in line.after if not after.may_be_any]
        return self.cap is not None and any(int(value) > self.cap for each in known for value in each.values)


def ledgers_of(procedure: Procedure, covered: Covered) -> tuple[Ledger, ...]:
    """Give a ledger for each kind of key that the procedure has, in the order of the catalogue."""
    kinds = {group.kind for group in procedure.keys.values()} | procedure.slots.keys()
    found = []
    for kind in covered.laid.cast.catalogue.kinds["kind"].words:
        if kind in kinds:
            cap = procedure.slots.get(kind)
            lines = tuple(_lines(covered, kind))
            found.append(Ledger(kind, int(cap.text) if cap is not None and cap.text.isdigit() else None, lines))
    return tuple(found)


def _lines(covered: Covered, kind: str) -> Iterator[SlotLine]:
    name = f"{kind}.used"
    field = covered.laid.cast.layout.field(covered.laid.cast.number[name])
    for (calls, _), stops in covered.stops.items():
        step = covered.laid.station(stops[0]).step
        if step is None or not covered.states[stops[0]] or not any(_touches(covered, stop, field) for stop in stops):
            continue
        before = covered.known(name, covered.states[stops[0]])
        after = {outcome: covered.known(name, state) for outcome, state in _left(covered, (calls, step.name)).items()}
        is_read = any(line.verb == "read" for line in step.lines)
        yield SlotLine(step, calls[0] if calls else "", is_read, before, tuple(after.items()))


def _touches(covered: Covered, stop: int, field: State) -> bool:
    """Whether a move of a stop changes a field, guards aside."""
    for move in covered.laid.machine.stops[stop].moves:
        change = move.change
        if ~change.keep & field or change.put & field or any(each.values << each.shift & field for each in change.maps):
            return True
    return False


def _left(covered: Covered, where: Where) -> dict[str, State]:
    """Give for each outcome by which a step can be left a state that covers all in which it is."""
    machine, found = covered.laid.machine, dict[str, State]()
    for stop in covered.stops[where]:
        state = covered.states[stop]
        for index in range(len(machine.stops[stop].moves)) if state else ():
            outcome = covered.laid.outcome(stop, index)
            after = changed(state, move_at(machine, stop, index).change) if outcome else 0
            if after and index != SPENT:
                found[outcome] = found.get(outcome, 0) | after
    return found
