"""What is known where a person stands: of each key that is here, of the vehicle, of the places for keys, and of numbers read.

It is told from all states in which one can stand there: a value is known where they all have it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from proclint.analysis.machine import Move
from proclint.analysis.states.rehearsal import Moment
from proclint.analysis.states.spots import Spot
from proclint.analysis.states.truth import is_there

# What a person sees of the vehicle, in the order in which it is told.
_SHOWN = (
    "ignition", "engine", "steering-lock", "selector", "park-brake", "chocks", "brake-pedal", "clutch-pedal",
    "door-driver", "door-passenger", "doors-other", "tailgate", "hood", "window-driver", "locks", "alarm", "belt-driver",
    "inside", "support", "battery", "airbag-power", "tool", "session", "access", "code", "prompt", "learn-mode",
    "learn-kind", "immobiliser", "immobiliser-lamp", "wrong-codes",
)  # fmt: skip
# Told only where it is asked for and nobody knows it.
_ASKED = ("gearbox", "high-voltage", "variant", "consent", "authority")
# Told even where they are as they were at the start.
_ALWAYS = ("ignition",)
# What shows that a key works, as it is tested.
TESTS = ("starts", "buttons", "passive", "blade", "limit")
_ANSWERED = ("starts", "buttons", "passive")
_DROPPED = "dropped"


class Fact(NamedTuple):
    """A variable and the values that it may have."""

    name: str
    values: tuple[str, ...]


class KeyNow(NamedTuple):
    """A key: whether it is surely here, its places, whether it is in the vehicle's list, was dropped from it, and its tests."""

    name: str
    is_sure: bool
    is_original: bool
    places: tuple[str, ...]
    registered: tuple[str, ...]
    dropped: tuple[str, ...]
    tests: Mapping[str, tuple[str, ...]]

    @property
    def is_tested(self) -> bool:
        """Whether the vehicle was seen to answer it, or not to; a blade that turns says nothing of that."""
        return any({"works", "fails"} & {*values} for test, values in self.tests.items() if test in _ANSWERED)


class SlotsNow(NamedTuple):
    """The places for one kind of key: how many are used, nothing where nobody has read it, and how many there are."""

    kind: str
    used: tuple[str, ...]
    cap: tuple[str, ...]


@dataclass(frozen=True)
class Known:
    """What is known at a moment."""

    moment: Moment
    masks: tuple[int, ...]
    unstated: frozenset[int]

    @classmethod
    def at(cls, moment: Moment) -> "Known":
        """Give what is known at a moment."""
        layout, together = moment.rehearsal.laid.cast.layout, 0
        for state in moment.stand.states:
            together |= state
        return cls(moment, layout.masks(together), layout.unstated(together))

    def values(self, name: str) -> tuple[str, ...]:
        """Give the values that a variable may have; none for what this procedure has not."""
        cast = self.moment.rehearsal.laid.cast
        number = cast.number.get(name)
        return cast.words(number, self.masks[number]) if number is not None else ()

    def _is_unknown(self, name: str) -> bool:
        cast = self.moment.rehearsal.laid.cast
        number = cast.number[name]
        return number in self.unstated or self.masks[number] == cast.full(number)

    @property
    def keys(self) -> tuple[KeyNow, ...]:
        """Each key that is here or may be."""
        cast = self.moment.rehearsal.laid.cast
        return tuple(found for key in cast.keys if key not in cast.absent and (found := self._key(key)) is not None)

    def _key(self, key: str) -> KeyNow | None:
        cast = self.moment.rehearsal.laid.cast
        there = [case for case in is_there(key, cast).cases if all(self.masks[name] & mask for name, mask in case.items())]
        if not there:
            return None
        is_sure = not any(self.masks[name] & ~mask for name, mask in there[0].items())
        own = {name: self.values(f"{key}.{name}") for name in ("place", "registered", _DROPPED, *TESTS)}
        if self.values("cylinder") == (key,):
            # A file may say at the start which key is in the cylinder, and nothing of its place.
            own["place"] = ("cylinder",)
        tests = {name: own[name] for name in TESTS}
        return KeyNow(key, is_sure, cast.group_of[key].is_original, own["place"], own["registered"], own[_DROPPED], tests)

    @property
    def counts(self) -> tuple[Fact, ...]:
        """How many keys of each group are here, where that is more than one number or none."""
        groups = self.moment.rehearsal.laid.cast.groups
        found = (Fact(group.letter, self.values(f"{group.letter}.here")) for group in groups)
        return tuple(fact for fact in found if len(fact.values) > 1 or fact.values == ("0",))

    @property
    def vehicle(self) -> tuple[Fact, ...]:
        """What is known and not as it was at the start, variables that make up one together."""
        start = self.moment.rehearsal.laid.start[0]
        cast = self.moment.rehearsal.laid.cast
        found = {}
        for name in _SHOWN:
            number = cast.number.get(name)
            if number is None or self._is_unknown(name):
                continue
            if name in _ALWAYS or self.masks[number] != start[number]:
                found[name] = self.values(name)
        return tuple(Fact(*each) for each in self._summed(found).items())

    def _summed(self, found: dict[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
        """Say what stands for several at once, where they are all the same."""
        for name, parts in self.moment.rehearsal.laid.cast.catalogue.sums.items():
            if len({found.get(part) for part in parts}) == 1 and parts[0] in found:
                rest = parts[1:]
                found = {name if each == parts[0] else each: values for each, values in found.items() if each not in rest}
        return found

    @property
    def unknown(self) -> tuple[str, ...]:
        """What somebody has to know here and nobody does: what the lines ask, or the ways hang on, and is not one value."""
        cast = self.moment.rehearsal.laid.cast
        if self.moment.spot.is_last:
            # What was never touched is nobody's concern any more; what is left open is told by itself.
            return ()
        asked = {cast.names[number] for number in _asked(self.moment.spot)}
        return tuple(name for name in (*_SHOWN, *_ASKED) if name in asked and len(self.values(name)) > 1)

    @property
    def slots(self) -> tuple[SlotsNow, ...]:
        """The places for each kind of key that this procedure names."""
        cast = self.moment.rehearsal.laid.cast
        kinds = [kind for kind in cast.catalogue.kinds["kind"].words if self.values(f"{kind}.cap") not in ((), ("0",))]
        return tuple(self._slots(kind) for kind in kinds if f"{kind}.used" in cast.number)

    def _slots(self, kind: str) -> SlotsNow:
        name = f"{kind}.used"
        used = () if self.values(f"{kind}.counted") == ("no",) or self._is_unknown(name) else self.values(name)
        return SlotsNow(kind, used, self.values(f"{kind}.cap"))

    @property
    def numbers(self) -> tuple[Fact, ...]:
        """The numbers that were read in the flow in which one stands."""
        cast, scope = self.moment.rehearsal.laid.cast, self.moment.spot.frame.binding.scope
        names = [name for name in cast.counts if name.startswith(scope) and ":" not in name.removeprefix(scope)]
        return tuple(Fact(name.removeprefix(scope), self.values(name)) for name in names if not self._is_unknown(name))

    @property
    def left_open(self) -> tuple[Fact, ...]:
        """What an ending leaves as it must not be and as it was not at the start; what was never touched is not told."""
        procedure, sums = self.moment.rehearsal.procedure, self.moment.rehearsal.laid.cast.catalogue.sums
        began = {single: word.text for name, word in procedure.start.items() for single in sums.get(name, (name,))}
        found = {}
        for demand, grade, values in self.moment.lacks:
            bad = tuple(value for value in values if value not in (*demand.good, began.get(demand.variable, "")))
            if demand.rule == _LEFT_OPEN and grade != "unstated" and bad:
                found[demand.variable] = bad
        return tuple(Fact(*each) for each in found.items())


_LEFT_OPEN = "left-open-at-end"


def _asked(spot: Spot) -> Iterator[int]:
    """Give the variables that are checked at a spot or on which its moves hang."""
    for stop in spot.part.stops:
        yield from (check.variable for check in stop.checks)
        yield from (variable for move in stop.moves for variable in _guarded(move))


def _guarded(move: Move) -> Iterator[int]:
    return (narrow.variable for narrow in move.change.narrows)
