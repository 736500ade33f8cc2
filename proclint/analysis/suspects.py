"""Which checks of a machine may fail: one pass over its stops that misses nothing, and says little of how.

For each stop the pass keeps one state that covers every state in which it can be entered, on whatever way, each variable
for itself: abstract interpretation (P. Cousot, R. Cousot 1977) in the independent-attribute manner (N. D. Jones,
S. S. Muchnick 1981), run to a fixpoint by a worklist (G. A. Kildall 1973); sources from memory. Tries are not counted: a stop
with tries may be entered again, or found spent, at any time. So there are more ways than in truth, never fewer: a check that is
not suspect holds on every way, which is proved; one that is suspect is for the explorer.

Here the flag of a field stands for "any value, never stated", and its values for what is possible on ways on which
it was stated. So it is seen where a check can fail for no better reason than that nobody said.
"""

from collections.abc import Iterable, Iterator
from heapq import heappop, heappush
from typing import NamedTuple

from proclint.analysis.machine import Change, Machine, Map, State, Stop
from proclint.analysis.walk import image


class Suspect(NamedTuple):
    """A check, by stop and index, that may fail on some way; where `is_only_unstated`, with no grade but `unstated`."""

    stop: int
    check: int
    is_only_unstated: bool


def suspects(machine: Machine) -> tuple[Suspect, ...]:
    """Give every check that may fail, in order. If there is none, every check holds on every way."""
    return tuple(_suspects(machine))


def _suspects(machine: Machine) -> Iterator[Suspect]:
    for index, (covered, stop) in enumerate(zip(flood(machine), machine.stops, strict=True)):
        if stop.checks and covered:
            yield from suspects_at(index, stop, covered)


def suspects_at(index: int, stop: Stop, state: State) -> Iterator[Suspect]:
    """Give the checks of a stop that may fail where a state covers all in which it is entered."""
    for number, check in enumerate(stop.checks):
        if state & (check.outside | check.flag):
            yield Suspect(index, number, is_only_unstated=not state & check.outside)
            state = state & ~(check.outside | check.flag) | check.inside


def of_all_starts(found: Iterable[Suspect]) -> tuple[Suspect, ...]:
    """Give each suspect of several passes once: one that is only unstated where it is that in all of them."""
    known: dict[tuple[int, int], Suspect] = {}
    for each in found:
        before = known.get((each.stop, each.check), each)
        known[each.stop, each.check] = before if not before.is_only_unstated else each
    return tuple(sorted(known.values()))


def flood(machine: Machine) -> list[State]:
    """Give for each stop a state that covers all in which it can be entered, 0 if no way leads there."""
    stops = machine.stops
    covered = [0] * len(stops)
    covered[0] = _abstract(machine)
    # Earlier stops first, as most ways lead on: so most stops are visited once.
    waiting, is_waiting = [0], bytearray(len(stops))
    while waiting:
        at = heappop(waiting)
        is_waiting[at] = False
        for by, after in _leaving(stops[at], covered[at]):
            known = covered[at + by]
            joined = known | after
            if joined != known:
                covered[at + by] = joined
                if not is_waiting[at + by]:
                    is_waiting[at + by] = True
                    heappush(waiting, at + by)
    return covered


def _leaving(stop: Stop, state: State) -> list[tuple[int, State]]:
    """Give where the moves of a stop lead and in what state, 0 for those that are closed."""
    checks, moves, _, spent, _ = stop
    found = [] if spent is None else [(spent.by, changed(state, spent.change))]
    for _, _, inside, outside, flag in checks:
        if state & (outside | flag):
            # Of a way on which nothing was good, every good value has to be taken for possible.
            state = state & ~(outside | flag) | inside
    for by, change, _ in moves:
        _, _, _, narrows, keep, put, maps = change
        found.append((by, changed(state, change) if narrows or maps else state & keep | put))
    return found


def _abstract(machine: Machine) -> State:
    """Give the start in the manner of this pass: what was never stated has its flag and no values."""
    layout, state = machine.layout, machine.start
    for variable in layout.unstated(state):
        state &= ~layout.values(variable, layout.full(variable))
    return state


def changed(state: State, change: Change) -> State:
    """Give a covering state after a change, 0 if a guard closes it."""
    for _, inside, _, flag, keep in change.narrows:
        if state & flag:
            state = state & keep | inside
        elif state & inside:
            state &= keep
        else:
            return 0
    state = state & change.keep | change.put
    for each in change.maps:
        state = _mapped(state, each)
    return state


def _mapped(state: State, each: Map) -> State:
    shift, values, flag, table, whole = each
    found = image(state >> shift & values, table)
    if state & flag and whole != values:
        # Never stated, but no longer any value: told apart from what was stated only by the explorer.
        found |= whole
        state &= ~flag
    return state & ~(values << shift) | found << shift
