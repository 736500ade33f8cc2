"""One way through a machine, step by step and exactly: what a stop checks, and what a move does.

Whoever rehearses enters a stop, sees what is broken there, and takes a move that is open:

    state = machine.start
    entered = enter(machine, state, 0)
    state = take(machine, entered.state, 0, 0)
"""

from collections.abc import Iterable
from typing import Literal, NamedTuple, TypeAlias

from proclint.analysis.machine import Change, Check, Machine, Map, Move, Narrow, State

Grade: TypeAlias = Literal["must", "may", "unstated"]

# Gravest first.
GRADES: tuple[Grade, ...] = ("must", "may", "unstated")

# Stands for the move `spent` where a way names moves by their index.
SPENT = -1


class Breach(NamedTuple):
    """A check, by its index at the stop, that does not hold, how surely, and the state in which it is made.

    `must`: no value that is possible is good. `may`: some are not. `unstated`: the same, and nobody ever stated it.
    """

    check: int
    grade: Grade
    state: State


class Entered(NamedTuple):
    """What comes of entering a stop: the state, every broken check taken as mended, and the breaches in order.

    Where `is_spent`, its tries were used up before: nothing was checked, and `spent` is the one move there is.
    """

    state: State
    breaches: tuple[Breach, ...]
    is_spent: bool


def enter(machine: Machine, state: State, stop: int) -> Entered:
    """Enter a stop: count it, check what it checks, and go on as if what is broken were mended."""
    counter = machine.counters.get(stop)
    if counter is not None:
        if (state & counter.field) >> counter.shift == counter.tries:
            return Entered(state, (), is_spent=True)
        state += 1 << counter.shift
    breaches = []
    for index, check in enumerate(machine.stops[stop].checks):
        if state & check.outside:
            breaches.append(Breach(index, grade(state, check), state))
            state = mended(state, check)
    return Entered(state, tuple(breaches), is_spent=False)


def take(machine: Machine, state: State, stop: int, index: int) -> State | None:
    """Take a move, by its index, from a stop that was entered; None if a guard closes it. The next is still to be entered."""
    move = move_at(machine, stop, index)
    after = changed(state, move.change) & ~machine.resets(stop, move)
    return after or None


def move_at(machine: Machine, stop: int, index: int) -> Move:
    """Give the move that a way names by its index at a stop, `SPENT` included."""
    found = machine.stops[stop].spent if index == SPENT else machine.stops[stop].moves[index]
    assert found is not None
    return found


def grade(state: State, check: Check) -> Grade:
    """Say how surely a check is broken that does not hold."""
    if not state & check.inside:
        return "must"
    return "unstated" if state & check.flag else "may"


def mended(state: State, check: Check) -> State:
    """Give a state in which a broken check is mended: the good values that are possible or, if none is, all good ones."""
    kept = state & ~(check.outside | check.flag)
    return kept if state & check.inside else kept | check.inside


def changed(state: State, change: Change) -> State:
    """Give the state after a change, 0 if a guard closes it."""
    state = narrowed(state, change.narrows)
    if not state:
        return 0
    state = state & change.keep | change.put
    for each in change.maps:
        state = mapped(state, each)
    return state


def narrowed(state: State, narrows: Iterable[Narrow]) -> State:
    """Give what guards leave of a state, 0 if one closes it."""
    for _, inside, outside, _, keep in narrows:
        if state & inside:
            if state & outside:
                state &= keep
        else:
            return 0
    return state


def closing(state: State, change: Change) -> int:
    """Give the variable of the guard that closes a change, which is closed."""
    refusing = iter(change.narrows)
    narrow = next(refusing)
    while state & narrow.inside:
        state &= narrow.keep if state & narrow.outside else -1
        narrow = next(refusing)
    return narrow.variable


def forced(state: State, change: Change) -> State:
    """Give the state after a change as if every guard let it pass: where none of the values does, any that may is taken."""
    for _, inside, outside, flag, _ in change.narrows:
        state = state & ~(outside | flag) if state & inside else state & ~(outside | flag) | inside
    state = state & change.keep | change.put
    for each in change.maps:
        state = mapped(state, each)
    return state


def mapped(state: State, each: Map) -> State:
    """Replace the values of one field by what a table gives for them."""
    field = each.values << each.shift
    return state & ~field | image(state >> each.shift & each.values, each.table) << each.shift


def image(mask: int, table: tuple[int, ...]) -> int:
    """Give all values that a table gives for the values of a mask."""
    found = 0
    while mask:
        found |= table[(mask & -mask).bit_length() - 1]
        mask &= mask - 1
    return found
