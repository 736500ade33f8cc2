"""Each ending of a procedure: how it is reached, how long that takes, and how it leaves keys and vehicle."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce
from operator import or_
from typing import NamedTuple

from proclint.analysis.explorer import Open, Reached
from proclint.analysis.left_open import left_open
from proclint.analysis.machine import State
from proclint.analysis.states.cast import Group
from proclint.analysis.states.covered import Covered, Known
from proclint.analysis.states.findings import Leg, legs_of
from proclint.analysis.study import Study
from proclint.analysis.time.job import WayTime
from proclint.model import End, Procedure


class Standing(StrEnum):
    """How a key stands at an ending, on all ways there."""

    WORKS = "works, tried"
    FAILS = "tried and dead"
    TRIED = "tried; works or not"
    SOMETIMES = "not tried on every way"
    DROPPED = "dropped, not tried"
    MAYBE_DROPPED = "may be dropped, not tried"
    MAYBE_LEARNED = "may be learned, not tried"
    LEARNED = "learned, not tried"
    KNOWN = "as before, not tried"
    STRANGE = "not learned"


class Proof(StrEnum):
    """Whether the original keys that are here are seen to work before an ending."""

    YES = "yes"
    SOME_WAYS = "not on every way"
    NO = "no"
    NOT_NEEDED = "nothing was changed"
    NONE_HERE = "none is here"


class KeyLeft(NamedTuple):
    """A key, or all further ones of its group, as an ending leaves it. `may_be_missing`: it is not here on every way."""

    key: str
    standing: Standing
    may_be_missing: bool
    stands_for_more: bool


class LeftOpen(NamedTuple):
    """What an ending leaves as it must not be left, and the values that it may have."""

    variable: str
    values: tuple[str, ...]


class Ending(NamedTuple):
    """An ending, or an exit of a block.

    `way` is a shortest that can be taken, with the fewest keys; none where there is none or the `limit` was met before. `time` is
    nothing where no way is timed. `undecided` names what may be left open but met a limit.
    """

    end: End
    way: tuple[Leg, ...]
    limit: str = ""
    time: WayTime | None = None
    keys: tuple[KeyLeft, ...] = ()
    proof: Proof = Proof.NOT_NEEDED
    left: tuple[LeftOpen, ...] = ()
    undecided: tuple[str, ...] = ()


def endings_of(study: Study, covered: Covered | None) -> tuple[Ending, ...]:
    """Give the endings in file order; without what a covering says where it could not be laid out."""
    times = {each.ending: each for each in study.times.ways}
    if covered is None or not isinstance(study.flow, Procedure):
        return tuple(Ending(end, (), time=times.get(name)) for name, end in study.flow.ends.items())
    stops = {name: covered.stops[(), name][0] for name in study.flow.ends if ((), name) in covered.stops}
    ways = covered.shortest_ways(tuple(stops.values()))
    table = _Table(study, study.flow, covered)
    return tuple(
        table.ending(end, ways.get(stops.get(name, -1)), covered.apart(stops[name]) if name in stops else (), times.get(name))
        for name, end in study.flow.ends.items()
    )


@dataclass(frozen=True)
class _Table:
    study: Study
    procedure: Procedure
    covered: Covered

    def ending(self, end: End, found: Reached | Open | None, states: tuple[State, ...], time: WayTime | None) -> Ending:
        if found is None:
            return Ending(end, (), time=time)
        limit = found.limit if isinstance(found, Open) else ""
        way = legs_of(self.covered.laid, found.way, found.stop) if isinstance(found, Reached) else ()
        keys = tuple(self.keys(states))
        proof = self.proof(keys, reduce(or_, states))
        return Ending(end, way, limit, time, keys, proof, tuple(self.left(end)), tuple(self.undecided(end)))

    def keys(self, states: tuple[State, ...]) -> Iterator[KeyLeft]:
        for group in self.covered.laid.cast.groups:
            for rank, key in enumerate(group.keys, start=1):
                there = [state for state in states if self.here(group, state)[1] >= rank]
                if there:
                    is_missing = len(there) < len(states) or any(self.here(group, state)[0] < rank for state in there)
                    more = rank == group.size and self.procedure.keys[group.letter].here[1] > rank
                    yield KeyLeft(key, self.standing(group, key, reduce(or_, there)), is_missing, more)

    def here(self, group: Group, state: State) -> tuple[int, int]:
        """Give how many keys of a group are here, least and most."""
        numbers = [int(each) for each in self.covered.known(f"{group.letter}.here", state).values]
        return min(numbers), max(numbers)

    def standing(self, group: Group, key: str, state: State) -> Standing:
        proof = "buttons" if group.kind == "remote" else "starts"
        tried, registered, dropped = (self.covered.known(f"{key}.{name}", state) for name in (proof, "registered", "dropped"))
        if not tried.is_surely("untested"):
            return _of_trial(tried)
        if dropped.is_surely("yes"):
            return Standing.DROPPED
        if registered.is_surely("yes"):
            return Standing.KNOWN if group.is_original else Standing.LEARNED
        if registered.is_surely("no"):
            return Standing.DROPPED if group.is_original else Standing.STRANGE
        return Standing.MAYBE_DROPPED if group.is_original else Standing.MAYBE_LEARNED

    def proof(self, keys: tuple[KeyLeft, ...], state: State) -> Proof:
        if self.covered.known("changed", state).is_surely("no"):
            return Proof.NOT_NEEDED
        originals = {key for group in self.covered.laid.cast.groups if group.is_original for key in group.keys}
        found = {each.standing for each in keys if each.key in originals}
        if not found:
            return Proof.NONE_HERE
        if found <= _TRIED:
            return Proof.YES
        return Proof.SOME_WAYS if found & {*_TRIED, Standing.SOMETIMES} else Proof.NO

    def left(self, end: End) -> Iterator[LeftOpen]:
        for finding, values in left_open(self.procedure, self.study):
            if finding.is_own and finding.station.of.name == end.name:
                yield LeftOpen(finding.demand.variable, values)

    def undecided(self, end: End) -> Iterator[str]:
        for each in self.study.states.undecided:
            if each.demand.rule == "left-open-at-end" and each.station.own.name == end.name:
                yield each.demand.variable


_TRIED = frozenset({Standing.WORKS, Standing.FAILS, Standing.TRIED})


def _of_trial(tried: Known) -> Standing:
    for value, standing in (("works", Standing.WORKS), ("fails", Standing.FAILS)):
        if tried.is_surely(value):
            return standing
    return Standing.SOMETIMES if tried.may_be("untested") else Standing.TRIED
