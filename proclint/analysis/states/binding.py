"""What the names in a flow stand for: its letters, the numbers that it reads, and what a caller gave a block."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from proclint.analysis.conditions import Atom, read_condition
from proclint.analysis.conditions import Sum as WrittenSum
from proclint.analysis.states.cast import Cast
from proclint.analysis.states.truth import FALSE, MAYBE, TRUE, Term, Truth, both, compared, is_one_of
from proclint.model import Block, Flow, Follow, Procedure

_KEY = re.compile(r"([A-Z])([0-9]{0,2})(\.missing)?")


@dataclass(frozen=True)
class Binding:
    """The keys that each letter stands for and the words that other parameters do, in one flow of one cast.

    `scope` goes before the names of what is read there: those of a block are its own.
    """

    cast: Cast
    scope: str = ""
    keys: tuple[tuple[str, tuple[str, ...]], ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    def with_key(self, letter: str, key: str) -> "Binding":
        """Give the binding in which a letter is one key."""
        return replace(self, keys=(*(each for each in self.keys if each[0] != letter), (letter, (key,))))

    def keys_of(self, word: str) -> tuple[str, ...]:
        """Give the keys that a word such as `O1`, `X`, `L` or `N.missing` can name; none for any other word."""
        found = _KEY.fullmatch(word)
        if found is None:
            return ()
        for name, chosen in self.keys:
            if name == word:
                return chosen
        keys = self._group(found[1]) or (self._absent(found[1]) if found[2] else ())
        return (keys[min(int(found[2]), len(keys)) - 1],) if found[2] and keys else keys

    def _group(self, letter: str) -> tuple[str, ...]:
        for name, keys in self.keys:
            if name == letter:
                return keys
        group = self.cast.group_of.get(letter)
        return group.keys if group is not None else ()

    def _absent(self, letter: str) -> tuple[str, ...]:
        """Give what a key of a group stands for of which none is here, such as the one that is lost and erased."""
        group = self.cast.group_of.get(letter)
        return group.absent if group is not None else ()

    def word(self, text: str) -> str:
        """Give what a word stands for, itself where it is no parameter of a block."""
        return dict(self.words).get(text, text)

    def counts(self) -> Mapping[str, str]:
        """Give the variable of each number that can be read here, by the name it bears here."""
        return {name.removeprefix(self.scope): name for name in self.cast.counts if name.startswith(self.scope)}

    def variable(self, name: str) -> int | None:
        """Give the variable that a name in a condition means: `ignition`, `K.kind`, `O.here`, `key.used`, `n`."""
        owner, _, last = name.rpartition(".")
        if owner:
            keys = self.keys_of(owner)
            full = f"{self.word(owner)}.{last}"
            return self.cast.number.get(full, self.cast.number.get(f"{keys[0]}.{last}") if keys else None)
        return self.cast.number.get(self.scope + name, self.cast.number.get(name))


def inside(block: Block, follow: Follow | None, outer: Binding) -> Binding:
    """Give the binding inside a block, as its caller gives its parameters."""
    keys, words = [], []
    for name, kind in block.given.items():
        given = follow.given.get(name, ()) if follow is not None else ()
        if kind in ("key", "keys"):
            keys.append((name, tuple(key for word in given for key in outer.keys_of(word))))
        elif given:
            words.append((name, outer.word(given[0])))
    return Binding(outer.cast, f"{block.id}:", tuple(keys), tuple(words))


def alone(flow: Flow, cast: Cast) -> Binding:
    """Give the binding of a procedure, or of a block that is run alone with stand-in keys."""
    if isinstance(flow, Procedure):
        return Binding(cast)
    keys = tuple((name, cast.group_of[name].keys) for name in flow.given if name in cast.group_of)
    return Binding(cast, f"{flow.id}:", keys)


def counts_in(flow: Flow, blocks: Iterable[Block]) -> tuple[str, ...]:
    """Give the variables for the numbers that a flow and its blocks read."""
    found = list(_names_read(flow)) if isinstance(flow, Procedure) else []
    scoped = blocks if isinstance(flow, Procedure) else (flow, *blocks)
    return tuple(dict.fromkeys((*found, *(f"{block.id}:{name}" for block in scoped for name in _names_read(block)))))


def _names_read(flow: Flow) -> Iterable[str]:
    for step in flow.steps.values():
        for line in step.lines:
            for name, parameter in line.action.parameters.items():
                if parameter.kind == "name" and name in line.words:
                    yield line.words[name]


def holds(text: str, binding: Binding, cast: Cast) -> Truth:
    """Say when a condition as written in `ways` or `only-if` holds; what cannot be read may hold or not."""
    condition = read_condition(text, cast.catalogue)
    if condition is None:
        return MAYBE
    found = TRUE
    for atom in condition.atoms:
        found = both(found, _atom(atom, binding, cast), cast)
        if not found.cases:
            return FALSE
    return found


def _atom(atom: Atom, binding: Binding, cast: Cast) -> Truth:
    if atom.variable:
        variables = [cast.number[each] for each in cast.catalogue.sums.get(atom.variable, ()) if each in cast.number]
        single = binding.variable(atom.variable)
        found = variables or ([single] if single is not None else [])
        words = frozenset(binding.keys_of(atom.word) or (atom.word,))
        return is_one_of(found, words, cast, is_wanted=atom.operator == "=")
    left, right = (_terms(side, binding) for side in (atom.left, atom.right))
    return compared(left, atom.operator, right, cast) if left is not None and right is not None else MAYBE


def _terms(side: WrittenSum, binding: Binding) -> tuple[Term, ...] | None:
    found: list[Term] = []
    for sign, name in side.terms:
        terms = _term(sign, name, binding)
        if terms is None:
            return None
        found += terms
    return tuple(found)


def _term(sign: int, name: str, binding: Binding) -> tuple[Term, ...] | None:
    word = binding.word(name)
    if word.isdigit():
        return ((sign, None, Decimal(word)),)
    owner, _, last = name.rpartition(".")
    reckoned = binding.cast.catalogue.reckoned.get(last) if owner else None
    if reckoned is not None:
        # What is reckoned of one owner is the sum of others of the same owner.
        signs = (sign, -sign if reckoned.sign == "-" else sign)
        parts = [_term(each, f"{owner}.{operand.name}", binding) for each, operand in zip(signs, reckoned.operands, strict=False)]
        return None if None in parts else tuple(term for part in parts if part is not None for term in part)
    variable = binding.variable(name)
    return ((sign, variable, Decimal(0)),) if variable is not None else None
