"""How things stand at each point of a procedure, all ways there taken together.

What is said to be so holds on every way (see `suspects`); what is only said to be possible may be on none.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import or_
from typing import NamedTuple, TypeAlias

from proclint.analysis.explorer import Open, Reached, SearchLimits, shortest_ways
from proclint.analysis.machine import Machine, State
from proclint.analysis.states.laying import Laid, Station
from proclint.analysis.suspects import flood

# Enough for all that people write; what needs more is told as not found.
_LIMITS = SearchLimits(states=10_000, total=100_000)
# The steps that lead into the block in which a step or ending stands, and its name.
Where: TypeAlias = tuple[tuple[str, ...], str]


class Known(NamedTuple):
    """The values that a variable may have; where it `may_be_any`, nobody stated it on some way."""

    values: tuple[str, ...]
    may_be_any: bool

    def is_surely(self, value: str) -> bool:
        """Whether it has one value on every way."""
        return not self.may_be_any and self.values == (value,)

    def may_be(self, value: str) -> bool:
        """Whether it may have a value."""
        return self.may_be_any or value in self.values


@dataclass(frozen=True)
class Covered:
    """A procedure or block laid out, and for each stop a state that covers all in which it can be entered."""

    laid: Laid

    @cached_property
    def machines(self) -> tuple[Machine, ...]:
        """The machine, once for each number of keys that may be here and away."""
        machine, layout = self.laid.machine, self.laid.cast.layout
        return tuple(machine.from_start(layout.state(*start)) for start in self.laid.starts_apart)

    @cached_property
    def _floods(self) -> tuple[tuple[State, ...], ...]:
        """A covering state for each stop, for each number of keys that may be here: what hangs together on these shows so."""
        return tuple(tuple(flood(machine)) for machine in self.machines)

    @cached_property
    def states(self) -> tuple[State, ...]:
        """A covering state for each stop, 0 where no way leads there."""
        return tuple(reduce(or_, at) for at in zip(*self._floods, strict=True))

    def apart(self, stop: int) -> tuple[State, ...]:
        """Give the covering states of a stop for each number of keys that may be here and lead there."""
        return tuple(flooded[stop] for flooded in self._floods if flooded[stop])

    @cached_property
    def stops(self) -> Mapping[Where, tuple[int, ...]]:
        """The stops of each step and ending, in order."""
        found: dict[Where, list[int]] = {}
        for stop in range(len(self.laid.machine.stops)):
            found.setdefault(where_of(self.laid.station(stop)), []).append(stop)
        return {where: tuple(stops) for where, stops in found.items()}

    def shortest_ways(self, stops: Iterable[int], *, limits: SearchLimits = _LIMITS) -> Mapping[int, Reached | Open]:
        """Give a shortest way to each of some stops with the fewest keys that lead there; nothing for one to which no way leads.

        What hangs together on the number of keys costs a search most, so each number is searched by itself.
        """
        found: dict[int, Reached | Open] = {}
        for machine, flooded in zip(self.machines, self._floods, strict=True):
            asked = [stop for stop in stops if flooded[stop] and not isinstance(found.get(stop), Reached)]
            answers = zip(asked, shortest_ways(machine, asked, limits=limits), strict=True)
            found.update({stop: answer for stop, answer in answers if answer is not None})
        return found

    def known(self, name: str, state: State) -> Known:
        """Say what is known of a variable in a state that covers others."""
        cast = self.laid.cast
        number = cast.number[name]
        mask = cast.layout.masks(state)[number]
        return Known(cast.words(number, mask), bool(state & cast.layout.flag(number)))


def where_of(station: Station) -> Where:
    """Give where a step or ending stands."""
    return station.calls, station.of.name
