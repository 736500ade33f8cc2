"""Who and what takes part in a procedure: one variable of the vehicle each, and one for each kind, group and key.

Of a group that may be large the first keys stand for all: a further one is treated as those before it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from proclint.analysis.machine import Change, Layout
from proclint.catalogue import Catalogue, Variable
from proclint.model import Block, Flow, KeyGroup, Procedure, Word

# The largest count that is told apart; more is taken for as many.
MOST_COUNT = 16
MOST_KEYS = 3
SEEN = "seen"
# What a file says of variables, by name: the values that each can have.
Said: TypeAlias = tuple[tuple[str, tuple[str, ...]], ...]
# A mask for each variable, and which were never stated.
Start: TypeAlias = tuple[tuple[int, ...], frozenset[int]]
_NEVER, _ALWAYS = "no", "yes"
_WHOLE = tuple(str(number) for number in range(MOST_COUNT + 1))


class Group(NamedTuple):
    """A group of keys, or a stand-in for a parameter of a block: its letter, how many keys are told apart, their kind and head.

    `is_given` holds for a block's parameter, of whose keys nothing is known. `is_cut` says whether the blades are.
    """

    letter: str
    size: int
    kind: str
    head: str
    is_original: bool
    is_cut: bool
    is_given: bool = False
    is_away: bool = False

    @property
    def absent(self) -> tuple[str, ...]:
        """The name of the key that stands for all that are away, if some may be."""
        return (f"{self.letter}.away",) if self.is_away else ()

    @property
    def keys(self) -> tuple[str, ...]:
        """The names of its keys that are told apart."""
        return tuple(f"{self.letter}{rank}" for rank in range(1, self.size + 1))


@dataclass(frozen=True, eq=False)
class Cast:
    """The variables of one procedure, by number: their names, values and fields in a state.

    `is_alone` holds for a block that is run alone. `settled` are masks of what no line changes: the ignition kind, the kind of
    each key, the caps.
    """

    catalogue: Catalogue
    groups: tuple[Group, ...]
    counts: tuple[str, ...]
    fixed: Said
    facts: Said = ()
    is_alone: bool = False
    # What was laid for it before, by whoever lays it.
    kept: dict[object, object] = field(default_factory=dict)
    _changes: dict[object, Change] = field(default_factory=dict)

    def change(self, guards: Mapping[int, int], tables: Mapping[int, tuple[int, ...]]) -> Change:
        """Give what a move asks and does: masks of values that pass, and tables from old values to masks of new ones."""
        key = (tuple(guards.items()), tuple(tables.items()))
        if key not in self._changes:
            self._changes[key] = self.layout.change(guards=key[0], effects=key[1])
        return self._changes[key]

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """The names of all keys that are told apart."""
        return tuple(key for group in self.groups for key in (*group.keys, *group.absent))

    @cached_property
    def fact(self) -> Mapping[str, str]:
        """What is known of the vehicles, as a facts table says it, for each attribute of which all tables say the same."""
        known = {name: self.catalogue.attributes[name] for name, _ in self.facts if name in self.catalogue.attributes}
        units = {name: each.unit if each.type == "quantity" else "" for name, each in known.items()}
        return {name: f"{words[0]} {units[name]}".strip() for name, words in self.facts if len(words) == 1 and name in units}

    @cached_property
    def absent(self) -> frozenset[str]:
        """The keys that stand for those that are away."""
        return frozenset(key for group in self.groups for key in group.absent)

    @cached_property
    def group_of(self) -> Mapping[str, Group]:
        """The group of each key, and of each letter."""
        return {name: group for group in self.groups for name in (group.letter, *group.keys, *group.absent)}

    @cached_property
    def values(self) -> Mapping[str, tuple[str, ...]]:
        """The values of each variable, by its name: `ignition`, `O1.place`, `key.used`, `O.here`, `seen.pinch`."""
        found: dict[str, tuple[str, ...]] = {"nothing": (_NEVER, _ALWAYS)}
        for variable in self.catalogue.variables.values():
            for owner in self._owners(variable):
                found[f"{owner}.{variable.name}" if owner else variable.name] = self._values(variable)
        found.update(dict.fromkeys(self.counts, _WHOLE))
        found.update({f"{SEEN}.{hazard}": (_NEVER, _ALWAYS) for hazard in self.catalogue.hazards})
        return MappingProxyType({name: values for name, values in found.items() if len(values) > 1})

    def _owners(self, variable: Variable) -> tuple[str, ...]:
        if variable.unit or variable.stands_for or variable.derived:
            return ()
        owners = {
            "key": self.keys,
            "group": tuple(group.letter for group in self.groups),
            "kind": self.catalogue.kinds["kind"].words,
        }
        return owners.get(variable.owner, ("",))

    def _values(self, variable: Variable) -> tuple[str, ...]:
        if variable.numbers is not None:
            return tuple(str(number) for number in range(variable.numbers[0], variable.numbers[1] + 1))
        return (*variable.values, *self.keys) if variable.or_key else variable.values

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names of the variables, in the order of their numbers."""
        return tuple(self.values)

    @cached_property
    def number(self) -> Mapping[str, int]:
        """The number of each variable."""
        return {name: index for index, name in enumerate(self.names)}

    @cached_property
    def layout(self) -> Layout:
        """Where each variable lies in a state."""
        return Layout(tuple(map(len, self.values.values())))

    @cached_property
    def count_fields(self) -> tuple[int, ...]:
        """The values of each variable that counts, as bits of a state."""
        counting = (index for index, name in enumerate(self.names) if self.values[name][-1].isdigit())
        return tuple(self.layout.values(index, self.full(index)) for index in counting)

    def full(self, variable: int) -> int:
        """Give the mask of all values of a variable."""
        return self.layout.full(variable)

    def possible(self, variable: int) -> int:
        """Give the mask of the values that can be seen or read: those that the file or a cap does not rule out."""
        name = self.names[variable]
        owner, _, last = name.rpartition(".")
        if last == "used":
            cap = self.settled.get(self.number.get(f"{owner}.cap", -1))
            return min(self.full(variable), 2 * cap - 1) if cap else self.full(variable)
        return self.counted.get(variable, self.settled.get(variable, self.full(variable)))

    @cached_property
    def counted(self) -> Mapping[int, int]:
        """How many keys of each group can be here and away, as the file says."""
        found = {
            self.number[name]: words for name, words in self.fixed if name.endswith((".here", ".away")) and name in self.number
        }
        return {variable: self.mask(variable, words) for variable, words in found.items()}

    def mask(self, variable: int, words: Iterable[str]) -> int:
        """Give the mask of those of some words that are values of a variable."""
        found, bits = 0, self._bits[variable]
        for word in words:
            found |= bits.get(word, 0)
        return found

    @cached_property
    def _bits(self) -> tuple[Mapping[str, int], ...]:
        """The bit of each value of each variable; many variables have the same values."""
        bits = {values: {value: 1 << index for index, value in enumerate(values)} for values in self.values.values()}
        return tuple(bits[values] for values in self.values.values())

    def words(self, variable: int, mask: int) -> tuple[str, ...]:
        """Give the values in a mask."""
        return tuple(value for index, value in enumerate(self.values[self.names[variable]]) if mask >> index & 1)

    def start(self, said: Said) -> Start:
        """Give a mask for each variable at the start, as a file says it, and the variables of which nobody says anything."""
        fixed = dict(self.fixed)
        return self._stated(self._usual, ((name, words) for name, words in said if name not in fixed))

    def _stated(self, before: Start, said: Iterable[tuple[str, tuple[str, ...]]]) -> Start:
        masks, unstated = list(before[0]), set(before[1])
        for name, values in said:
            index = self.number.get(name)
            mask = self.mask(index, values) if index is not None else 0
            if index is not None and mask:
                masks[index] = mask
                unstated.discard(index)
        return tuple(masks), frozenset(unstated)

    @cached_property
    def _usual(self) -> Start:
        """What each variable starts with as the catalogue has it and as it was built."""
        masks = [self.mask(index, self._starts_with(name)) for index, name in enumerate(self.names)]
        unstated = frozenset(index for index, mask in enumerate(masks) if not mask)
        start = tuple(mask or self.full(index) for index, mask in enumerate(masks)), unstated
        return self._stated(start, {**self._as_built, **dict(self.fixed)}.items())

    def _starts_with(self, name: str) -> tuple[str, ...]:
        owner, _, last = name.rpartition(".")
        if name == "nothing" or owner == SEEN:
            # What a caller has warned of is not known in a block that is run alone.
            return () if owner == SEEN and self.is_alone else (_NEVER,)
        variable = self.catalogue.variables.get(last if owner else name)
        return (variable.start,) if variable is not None else ()

    @cached_property
    def _as_built(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for group in self.groups:
            if group.is_given:
                continue
            truth = ("yes",) if group.is_original else ("no",)
            found.update({f"{key}.place": ("absent",) for key in group.absent})
            for key in (*group.keys, *group.absent):
                found[f"{key}.kind"] = (group.kind,)
                found[f"{key}.head"] = (group.head,) if group.head else ()
                found[f"{key}.registered"] = truth
                found[f"{key}.buttons-learned"] = truth
                found[f"{key}.origin"] = ("original",) if group.is_original else ("new",)
                found[f"{key}.cut"] = ("yes",) if group.is_original or group.is_cut else ("no",)
        return found

    @cached_property
    def settled(self) -> Mapping[int, int]:
        """The masks of the variables that nothing changes and of which something is known."""
        said = {name: words for name, words in {**self._as_built, **dict(self.fixed)}.items() if _is_fixed(name, self.catalogue)}
        return {
            self.number[name]: mask
            for name, words in said.items()
            if name in self.number and (mask := self.mask(self.number[name], words))
        }


def _is_fixed(name: str, catalogue: Catalogue) -> bool:
    last = name.rpartition(".")[2]
    return catalogue.variables[last].start == "as written" and last not in _CHANGING if last in catalogue.variables else False


# Written in the file, and changed by lines all the same.
_CHANGING = frozenset({"registered", "buttons-learned", "cut", "learn-mode", "learn-kind", "here", "away"})


@lru_cache(maxsize=512)
def _cast(catalogue: Catalogue, groups: tuple[Group, ...], counts: tuple[str, ...], fixed: Said, facts: Said) -> Cast:
    return Cast(catalogue, groups, counts, fixed, facts)


@lru_cache(maxsize=512)
def _cast_of_block(catalogue: Catalogue, groups: tuple[Group, ...], counts: tuple[str, ...]) -> Cast:
    return Cast(catalogue, groups, counts, (), (), is_alone=True)


def cast_of(flow: Flow, catalogue: Catalogue, counts: tuple[str, ...], facts: Said) -> tuple[Cast, Said]:
    """Give who and what takes part in a procedure, or in a block run alone, and what the file says of the start.

    `counts` are the names of the numbers that are read, `facts` what tables say of its vehicles.
    """
    if isinstance(flow, Block):
        return _cast_of_block(catalogue, _stand_ins(flow), counts), _stated(flow.before, catalogue)
    groups = tuple(_group(group) for group in flow.keys.values() if group.here[1] or group.away[1])
    header = _of_header(flow, catalogue.kinds["kind"].words)
    fixed = tuple(each for each in header if _is_fixed(each[0], catalogue) or each[0].endswith((".here", ".away")))
    said = (*(each for each in header if each not in fixed), *_stated(flow.start, catalogue))
    return _cast(catalogue, groups, counts, fixed, facts), said


def _group(group: KeyGroup) -> Group:
    cut = group.details.get("cut")
    size = min(group.here[1], MOST_KEYS)
    is_cut = cut is not None and cut.text == "true"
    return Group(group.letter, size, group.kind, group.head, group.registered, is_cut, is_away=bool(group.away[1]))


def _stand_ins(block: Block) -> tuple[Group, ...]:
    sizes = {"key": 1, "keys": 2}
    return tuple(
        Group(name, sizes[kind], "", "", is_original=False, is_cut=False, is_given=True)
        for name, kind in block.given.items()
        if kind in sizes
    )


def _stated(words: Mapping[str, Word], catalogue: Catalogue) -> Said:
    """Give what a file states of the start; a variable that stands for others states each of them."""
    return tuple((single, (word.text,)) for name, word in words.items() for single in (catalogue.sums.get(name, (name,))))


def _of_header(procedure: Procedure, kinds: tuple[str, ...]) -> Said:
    vehicles = procedure.vehicles
    ignition = tuple(sorted({each.ignition_kind for each in vehicles if each.ignition_kind}))
    said = {
        "method": (procedure.method,),
        "ignition-kind": ignition,
        "gearbox": _all_of(each.gearbox for each in vehicles),
        "high-voltage": _all_of(each.high_voltage for each in vehicles),
        "learn-mode": (procedure.learning,) if procedure.learning != "by-prompt" else ("add", "replace-all"),
    }
    for kind in kinds:
        said[f"{kind}.cap"] = (procedure.slots[kind].text,) if kind in procedure.slots else ("0",)
    for group in procedure.keys.values():
        said[f"{group.letter}.here"] = _WHOLE[group.here[0] : group.here[1] + 1]
        said[f"{group.letter}.away"] = _WHOLE[group.away[0] : group.away[1] + 1]
    return tuple(sorted((name, words) for name, words in said.items() if words))


def _all_of(parts: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """Give all values that some vehicles may have; none where one of them says nothing."""
    found = tuple(parts)
    return tuple(sorted({word for words in found for word in words})) if all(found) else ()
