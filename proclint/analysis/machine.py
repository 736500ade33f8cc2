"""A machine: stops with checks, and moves between them that narrow and change a few small variables.

It is what the explorer explores, and it knows nothing of what stops and variables stand for. What is known of a variable
is a set of values it may have, a mask in which bit i stands for value i, and whether anybody ever stated it. All that is
known at one moment is a `State`, one whole number: a field of bits for each variable, its values and above them one bit
that says "never stated"; above all variables a count for each stop with `tries`. So a constant effect on any number of
variables is one AND and one OR.

A box of this kind is exact for one way as long as every effect is a function of its own variable and every guard
tests one variable: the independent attributes of N. D. Jones and S. S. Muchnick (1981; from memory) lose nothing there.

A `Layout` says where the fields lie. It is made once for a set of variables, and makes the parts that cost something
(`Check`, `Change`); they are constants that a caller keeps by action and parameters. Moves, stops and machines are bare
tuples of such parts: nothing is worked out when they are made, and what only a search needs is worked out when it is asked for.
Moves say how far they lead, not where to, so that a whole stop, or a run of stops, can be kept as well and stand anywhere.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import accumulate
from operator import lshift
from typing import NamedTuple, TypeAlias

State: TypeAlias = int
Guard: TypeAlias = tuple[int, int]
Effect: TypeAlias = tuple[int, tuple[int, ...]]

# Set in every state, so that no state is 0 and 0 can say "closed" and "never reached".
ALIVE = 1


class Check(NamedTuple):
    """A demand at a stop: the value of `variable` is one of `good`. The rest is the same in bits of a state."""

    variable: int
    good: int
    inside: int
    outside: int
    flag: int


class Narrow(NamedTuple):
    """A guard in bits of a state: the values that pass, those that do not, the flag, and what is kept when it narrows."""

    variable: int
    inside: int
    outside: int
    flag: int
    keep: int


class Map(NamedTuple):
    """An effect that depends on the old value: where the field lies, its values, the table, and the image of all values."""

    shift: int
    values: int
    flag: int
    table: tuple[int, ...]
    image: int


class Change(NamedTuple):
    """What a move asks and does, as given (`guards`, `effects`) and in bits of a state; `reads` are the guarded fields."""

    guards: tuple[Guard, ...]
    effects: tuple[Effect, ...]
    reads: int
    narrows: tuple[Narrow, ...]
    keep: int
    put: int
    maps: tuple[Map, ...]


class Move(NamedTuple):
    """A way on: how many stops further (or, negative, back) it leads, and what it asks and does.

    `resets` are the stops whose counts it sets to 0, counted from its own stop too.
    """

    by: int
    change: Change
    resets: tuple[int, ...] = ()


class Stop(NamedTuple):
    """A point of the machine. It can be entered `tries` times; after that `spent` is taken instead, or the way ends.

    `spent` is for stops with `tries` only. `cost` is 1 where entering it is a written step, 0 where it is a line inside one.
    """

    checks: tuple[Check, ...] = ()
    moves: tuple[Move, ...] = ()
    tries: int | None = None
    spent: Move | None = None
    cost: int = 1


class Counter(NamedTuple):
    """Where the count of a stop with `tries` lies in a state."""

    shift: int
    field: int
    tries: int


@dataclass(frozen=True)
class Layout:
    """Where the fields of variables lie in a state; `sizes` gives the number of values of each, 2 to 64.

    What it is given is refused by `ValueError` if it cannot be meant.
    """

    sizes: tuple[int, ...]
    # Made before, as callers ask for the same again and again.
    _narrows: dict[Guard, Narrow] = field(default_factory=dict, compare=False, repr=False)
    _maps: dict[Effect, Map] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        _refuse_unless(all(2 <= size <= 64 for size in self.sizes), "A variable has 2 to 64 values.")

    @cached_property
    def _shifts(self) -> tuple[int, ...]:
        return tuple(accumulate((size + 1 for size in self.sizes), initial=ALIVE.bit_length()))

    @property
    def width(self) -> int:
        """The number of bits that the variables take."""
        return self._shifts[-1]

    def full(self, variable: int) -> int:
        """Give the mask of all values of a variable."""
        return (1 << self.sizes[variable]) - 1

    def values(self, variable: int, mask: int) -> int:
        """Give a mask of values as bits of a state."""
        return mask << self._shifts[variable]

    def flag(self, variable: int) -> int:
        """Give the bit of a state that says that a variable was never stated."""
        return 1 << (self._shifts[variable] + self.sizes[variable])

    def field(self, variable: int) -> int:
        """Give all bits of a state that belong to a variable."""
        return self.values(variable, self.full(variable)) | self.flag(variable)

    def state(self, masks: Sequence[int], unstated: Collection[int] = ()) -> State:
        """Make a state of one mask for each variable, in which all counts are 0. What is unstated may be any value."""
        _refuse_unless(len(masks) == len(self.sizes), "A state has one mask for each variable.")
        is_fit = all(0 < mask < 1 << size for mask, size in zip(masks, self.sizes, strict=True))
        is_fit = is_fit and all(masks[variable] == self.full(variable) for variable in unstated)
        _refuse_unless(is_fit, "A mask holds a value and none too many, and is full where the variable is unstated.")
        # No two fields share a bit, so adding them up is putting them side by side.
        found: int = ALIVE + sum(map(lshift, masks, self._shifts)) + sum(map(self.flag, set(unstated)))
        return found

    def masks(self, state: State) -> tuple[int, ...]:
        """Give the mask of each variable in a state."""
        return tuple(state >> shift & (1 << size) - 1 for shift, size in zip(self._shifts, self.sizes, strict=False))

    def unstated(self, state: State) -> frozenset[int]:
        """Give the variables that nobody has stated yet in a state."""
        return frozenset(variable for variable in range(len(self.sizes)) if state & self.flag(variable))

    def variables(self, bits: int) -> tuple[int, ...]:
        """Give the variables to which any of these bits belong."""
        return tuple(variable for variable in range(len(self.sizes)) if bits & self.field(variable))

    def check(self, variable: int, good: int) -> Check:
        """Make a check: the value must be one of `good`, of which there is one at least."""
        full = self.full(variable)
        _refuse_unless(0 < good <= full, "A check names a good value and none that the variable has not.")
        inside, outside = self.values(variable, good), self.values(variable, full & ~good)
        return Check(variable, good, inside, outside, self.flag(variable) if outside else 0)

    def change(self, *, guards: tuple[Guard, ...] = (), effects: tuple[Effect, ...] = ()) -> Change:
        """Make a change of guards, taken in order, and of effects, at most one for each variable.

        A guard is a variable and the mask of values that pass. An effect is a variable and a table that gives for each
        old value the mask of new ones; it starts from what the guards leave.
        """
        _refuse_unless(len({variable for variable, _ in effects}) == len(effects), "A move has one effect on a variable at most.")
        narrows = tuple([self._narrow(guard) for guard in guards if guard[1] != self.full(guard[0])])
        maps, put, keep = [], 0, 0
        for each in map(self._map, effects):
            if each.table.count(each.table[0]) == len(each.table):
                keep |= each.flag | each.values << each.shift
                put |= each.table[0] << each.shift
            else:
                maps.append(each)
        reads = 0
        for variable, _ in guards:
            reads |= self.field(variable)
        return Change(guards, effects, reads, narrows, ~keep, put, tuple(maps))

    def _narrow(self, guard: Guard) -> Narrow:
        found = self._narrows.get(guard)
        if found is None:
            found = self._narrows[guard] = self._made_narrow(*guard)
        return found

    def _made_narrow(self, variable: int, mask: int) -> Narrow:
        full = self.full(variable)
        _refuse_unless(0 <= mask <= full, "A guard names no value that the variable has not.")
        inside, outside = self.values(variable, mask), self.values(variable, full & ~mask)
        # A guard that nothing passes is closed, followed or not: `ALIVE` is always followed.
        flag = self.flag(variable)
        return Narrow(variable, inside, outside, flag, ~(outside | flag)) if mask else Narrow(variable, 0, ALIVE, 0, 0)

    def _map(self, effect: Effect) -> Map:
        found = self._maps.get(effect)
        if found is None:
            found = self._maps[effect] = self._made_map(*effect)
        return found

    def _made_map(self, variable: int, table: tuple[int, ...]) -> Map:
        full, image = self.full(variable), 0
        _refuse_unless(len(table) == self.sizes[variable], "A table has an entry for each value.")
        for mask in table:
            _refuse_unless(0 < mask <= full, "An effect leaves a value and none that the variable has not.")
            image |= mask
        return Map(self._shifts[variable], full, self.flag(variable), table, image)


def _refuse_unless(is_fit: bool, reason: str) -> None:  # noqa: FBT001
    if not is_fit:
        raise ValueError(reason)


@dataclass(frozen=True)
class Machine:
    """Stops, of which the first is entered first, and the state in which it is entered."""

    layout: Layout
    start: State
    stops: tuple[Stop, ...]

    def from_start(self, start: State) -> "Machine":
        """Give the same stops entered in another state; what is known of them need not be worked out again."""
        other = replace(self, start=start)
        vars(other).update({name: known for name, known in vars(self).items() if name != "start"})
        return other

    @cached_property
    def counters(self) -> dict[int, Counter]:
        """Where the counts of stops with `tries` lie, by stop."""
        found, shift = {}, self.layout.width
        for index, stop in enumerate(self.stops):
            if stop.tries is not None:
                _refuse_unless(stop.tries > 0, "A stop can be entered once at least.")
                bits = stop.tries.bit_length()
                found[index] = Counter(shift, (1 << bits) - 1 << shift, stop.tries)
                shift += bits
        return found

    @cached_property
    def entering(self) -> Mapping[int, Collection[int]]:
        """The stops from which a move leads to each stop; none is named to which no move leads."""
        found: dict[int, dict[int, None]] = {}
        for index, stop in enumerate(self.stops):
            for move in stop.moves if stop.spent is None else (*stop.moves, stop.spent):
                found.setdefault(index + move.by, {})[index] = None
        return found

    @cached_property
    def lives(self) -> tuple[int, ...]:
        """The bits that may matter from each stop on (live variables, G. A. Kildall 1973; from memory).

        A variable matters if a guard may read it before it is set anew, a count if its stop may be entered before it is set to 0.
        """
        found, waiting = [0] * len(self.stops), list(range(len(self.stops)))
        counters, entering = self.counters, self.entering
        while waiting:
            at = waiting.pop()
            stop, counter = self.stops[at], counters.get(at)
            bits = 0 if counter is None else counter.field
            for move in stop.moves if stop.spent is None else (*stop.moves, stop.spent):
                after = found[at + move.by] & move.change.keep
                bits |= move.change.reads | (after & ~self.resets(at, move) if move.resets else after)
            if bits != found[at]:
                found[at] = bits
                waiting.extend(entering.get(at, ()))
        return tuple(found)

    def resets(self, stop: int, move: Move) -> int:
        """Give the bits of the counts that a move of a stop sets to 0."""
        found = 0
        for by in move.resets:
            counter = self.counters.get(stop + by)
            found |= 0 if counter is None else counter.field
        return found

    def leading_to(self, stops: Iterable[int]) -> frozenset[int]:
        """Give the stops from which moves lead to any of some stops, these included."""
        waiting = list(stops)
        found = set(waiting)
        for at in waiting:
            before = [each for each in self.entering.get(at, ()) if each not in found]
            found.update(before)
            waiting += before
        return frozenset(found)
