"""All that can be so at a spot, as a set of states, and what comes of the spot in each of them.

One state covers all values that a variable may have, whatever the others are. What hangs together is kept as several states, so
that an outcome which is open in none of them is ruled out. Two states that differ in one variable are one; where there are more
than `MOST_STATES` all the same, they are taken together and what hung together is forgotten, which is told.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from proclint.analysis.machine import Layout, State
from proclint.analysis.states.laying import Laid
from proclint.analysis.states.piece import Demand
from proclint.analysis.states.spots import Spot
from proclint.analysis.walk import SPENT, Grade, enter, take

MOST_STATES = 64
# So few are not worth putting together.
_FEW = 4


class Stand(NamedTuple):
    """The states that are possible at the same stop; `is_rough` where some were taken together that hung together."""

    states: tuple[State, ...]
    is_rough: bool = False


class Lack(NamedTuple):
    """A demand that does not hold at a spot, how surely, and the values that its variable may have there."""

    demand: Demand
    grade: Grade
    found: tuple[str, ...]


class Passed(NamedTuple):
    """What comes of a spot: for each outcome that is open where it leads and how things stand then, and what does not hold."""

    open: Mapping[str, tuple[int, Stand]]
    lacks: tuple[Lack, ...]


def passed(laid: Laid, spot: Spot, stand: Stand) -> Passed:
    """Pass a spot in all states in which one can stand there."""
    at: dict[int, set[State]] = {spot.base: set(stand.states)}
    left: dict[str, tuple[int, set[State]]] = {}
    lacks: dict[Demand, Lack] = {}
    for stop in range(spot.base, spot.after):
        for state in at.get(stop, ()):
            _pass_stop(laid, spot, (stop, state), lacks)
            for move, by, after in _moves(laid, stop, state):
                outcome = spot.outcomes.get((stop, move))
                if outcome is None:
                    at.setdefault(stop + by, set()).add(after)
                else:
                    left.setdefault(outcome, (stop + by, set()))[1].add(after)
    gathered = {outcome: (stop, gather(states, laid.machine.layout)) for outcome, (stop, states) in left.items()}
    if stand.is_rough:
        gathered = {outcome: (stop, each._replace(is_rough=True)) for outcome, (stop, each) in gathered.items()}
    return Passed(gathered, tuple(_as_known(laid, stand, lack) for lack in lacks.values()))


def _as_known(laid: Laid, stand: Stand, lack: Lack) -> Lack:
    """Give a lack as surely as it is known on arrival: a check may have been reached by looking at the bad values alone."""
    cast, together = laid.cast, 0
    for state in stand.states:
        together |= state
    number = cast.number[lack.demand.variable]
    words = cast.words(number, cast.layout.masks(together)[number])
    if not {*lack.found} < {*words} or not {*lack.demand.good} & {*words}:
        return lack
    is_unstated = number in cast.layout.unstated(together)
    return Lack(lack.demand, "unstated" if is_unstated else "may", words)


def _moves(laid: Laid, stop: int, state: State) -> Iterable[tuple[int, int, State]]:
    """Give the moves that are open, each with how far it leads and the state after it."""
    entered = enter(laid.machine, state, stop)
    known = laid.machine.stops[stop]
    numbered = [(SPENT, known.spent)] if entered.is_spent else list(enumerate(known.moves))
    for number, move in numbered:
        after = take(laid.machine, entered.state, stop, number) if move is not None else None
        if move is not None and after is not None:
            yield number, move.by, after


def _pass_stop(laid: Laid, spot: Spot, at: tuple[int, State], lacks: dict[Demand, Lack]) -> None:
    """Note what does not hold at a stop; of one demand what is most grave."""
    stop, state = at
    for breach in enter(laid.machine, state, stop).breaches:
        demand = spot.part.asked[stop - spot.base][breach.check]
        number = laid.cast.number[demand.variable]
        found = laid.cast.words(number, laid.cast.layout.masks(breach.state)[number])
        if demand not in lacks or _RANK[breach.grade] < _RANK[lacks[demand].grade]:
            lacks[demand] = Lack(demand, breach.grade, found)


_RANK: Mapping[Grade, int] = {"must": 0, "may": 1, "unstated": 2}


def gather(states: Iterable[State], layout: Layout) -> Stand:
    """Put together what is the same but for one variable, and all where there are too many."""
    found = set(states)
    if len(found) > _FEW:
        first, differing = next(iter(found)), 0
        for state in found:
            differing |= state ^ first
        for variable in layout.variables(differing):
            found = _without_field(found, layout.field(variable))
    if len(found) <= MOST_STATES:
        return Stand(tuple(sorted(found)))
    # Above the variables stand the counts of tries, which are numbers and no sets.
    return Stand(tuple(sorted(_without_field(found, (1 << layout.width) - 1))), is_rough=True)


def _without_field(states: Iterable[State], field: int) -> set[State]:
    """Join the states that are the same but for a field."""
    joined: dict[int, State] = {}
    for state in states:
        rest = state & ~field
        joined[rest] = joined.get(rest, 0) | state
    return set(joined.values())
