"""What is known at a moment of a rehearsal, for the person who stands there: only what changed, is needed, or is still open."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, reduce
from operator import or_

from proclint.analysis.machine import Check, State
from proclint.analysis.states.cast import SEEN
from proclint.analysis.states.laying import Laid
from proclint.analysis.states.spots import Spot
from proclint.model import End

_OPEN_RULE = "left-open-at-end"
_INNER = "nothing"
_WORKS, _FAILS, _YES, _NO = "works", "fails", "yes", "no"


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one variable: whose it is, its name, and the values that it may have.

    `is_all` holds where it may have any value that it can have; it `is_told` unless nobody ever stated it.
    """

    owner: str
    name: str
    values: tuple[str, ...]
    is_all: bool
    is_told: bool


@dataclass(frozen=True, slots=True)
class KeyKnown:
    """What is known of one key: what of it is proved to work or to fail, and of what it is not known which.

    Unless it `is_sure` nobody knows whether there is that key. `registered` and `dropped` are the values that these may have.
    """

    key: str
    is_sure: bool
    works: tuple[str, ...]
    fails: tuple[str, ...]
    unsure: tuple[str, ...]
    registered: tuple[str, ...]
    dropped: tuple[str, ...]

    @property
    def is_proved(self) -> bool:
        """Whether something of it is proved, for good or for bad."""
        return bool(self.works or self.fails)

    @property
    def is_kept(self) -> bool:
        """Whether the job surely did not clear it from the vehicle."""
        return self.dropped == (_NO,)

    @property
    def is_dropped(self) -> bool:
        """Whether the job surely cleared it from the vehicle."""
        return self.dropped == (_YES,)


@dataclass(frozen=True)
class View:
    """What some states, of which one is real, let a person know."""

    laid: Laid
    states: tuple[State, ...]

    @cached_property
    def whole(self) -> State:
        """One state that covers all."""
        return reduce(or_, self.states)

    @cached_property
    def masks(self) -> tuple[int, ...]:
        """The values that each variable may have."""
        return self.laid.cast.layout.masks(self.whole)

    @cached_property
    def unstated(self) -> frozenset[int]:
        """The variables that nobody stated."""
        return self.laid.cast.layout.unstated(self.whole)

    def at_start(self) -> tuple[Known, ...]:
        """Give what the file says of the start."""
        number = self.laid.cast.number
        return tuple(self._known(number[name], self.masks[number[name]]) for name, _ in self.laid.said if name in number)

    def changed(self, before: "View") -> tuple[Known, ...]:
        """Give what is not known as it was before."""
        return tuple(
            self._known(variable, mask)
            for variable, mask in enumerate(self.masks)
            if (mask != before.masks[variable] or (variable in self.unstated) != (variable in before.unstated))
            and self._is_shown(variable)
        )

    def needed(self, spot: Spot) -> tuple[Known, ...]:
        """Give what a step needs to be so or not."""
        names = dict.fromkeys(demand.variable for demands in spot.run.asked.values() for demand in demands)
        numbers = [self.laid.cast.number[name] for name in names]
        return tuple(self._known(number, self.masks[number]) for number in numbers if self._is_shown(number))

    def still_open(self) -> tuple[Known, ...]:
        """Give what no ending may leave as it is, or may be, and as it was not at the start."""
        return tuple(each for check in _closing(self.laid) for each in self._open(check))

    def _open(self, check: Check) -> Iterator[Known]:
        layout, (began, unstated) = self.laid.cast.layout, self.laid.start
        variable = check.variable
        left = self.masks[variable] & ~check.good
        if variable not in unstated:
            left &= ~began[variable]
        if left and not layout.flag(variable) & self.whole:
            yield self._known(variable, left)

    def _is_shown(self, variable: int) -> bool:
        owner, _, name = self.laid.cast.names[variable].rpartition(".")
        return owner != SEEN and name != _INNER and (owner not in self.laid.cast.keys or self._count(owner) > 0)

    def _known(self, variable: int, mask: int) -> Known:
        cast = self.laid.cast
        # What a block reads bears the name of the block before its own.
        owner, _, name = cast.names[variable].rpartition(":")[2].rpartition(".")
        return Known(owner, name, cast.words(variable, mask), mask == cast.full(variable), variable not in self.unstated)

    def _count(self, key: str) -> int:
        """Say whether there is a key: 2 surely, 1 perhaps, 0 not."""
        cast = self.laid.cast
        if key in cast.absent:
            return 1
        group = cast.group_of[key]
        mask = self.masks[cast.number[f"{group.letter}.here"]] >> group.keys.index(key) + 1
        fewer = self.masks[cast.number[f"{group.letter}.here"]] & (1 << group.keys.index(key) + 1) - 1
        return 0 if not mask else 1 if fewer else 2

    def keys(self) -> tuple[KeyKnown, ...]:
        """Give what is known of each key that is here, or may be, and of those away."""
        return tuple(self._key(key) for key in self.laid.cast.keys if self._count(key))

    def _key(self, key: str) -> KeyKnown:
        found = {name: self._words(f"{key}.{name}") for name in self._functions}
        works = tuple(name for name, words in found.items() if words == (_WORKS,))
        fails = tuple(name for name, words in found.items() if words == (_FAILS,))
        unsure = tuple(name for name, words in found.items() if len(words) > 1)
        registered, dropped = (self._words(f"{key}.{name}") for name in ("registered", "dropped"))
        return KeyKnown(key, self._count(key) == 2, works, fails, unsure, registered, dropped)

    @cached_property
    def _functions(self) -> tuple[str, ...]:
        """What of a key can be proved."""
        variables = self.laid.cast.catalogue.variables.values()
        return tuple(each.name for each in variables if each.owner == "key" and _WORKS in each.values)

    def _words(self, name: str) -> tuple[str, ...]:
        number = self.laid.cast.number[name]
        return self.laid.cast.words(number, self.masks[number])

    def slots(self) -> tuple[tuple[Known, int], ...]:
        """Give for each kind of key for which the vehicle has places how many are used, and how many there are."""
        cast = self.laid.cast
        caps = {cast.names[number]: mask.bit_length() - 1 for number, mask in cast.settled.items()}
        found = ((name.removesuffix(".cap"), cap) for name, cap in caps.items() if name.endswith(".cap") and cap)
        used = ((cast.number[f"{kind}.used"], cap) for kind, cap in found)
        return tuple((self._known(number, self.masks[number]), cap) for number, cap in used)


def _closing(laid: Laid) -> Iterable[Check]:
    """Give the checks of what no ending may leave open; they are the same at all."""
    ends = [part for of, _, part in laid.piece.pieces if isinstance(of, End) and not part.pieces]
    for at, demands in ends[0].asked.items() if ends else ():
        for check, demand in zip(ends[0].stops[at].checks, demands, strict=True):
            if demand.rule == _OPEN_RULE:
                yield check
