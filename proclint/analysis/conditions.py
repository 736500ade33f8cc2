"""Whether the conditions on the ways of a step leave a value out, or two of them hold at once.

A condition compares sums of whole numbers and counts, or a variable with a word; conditions are joined by `and`. Counts run
from 0 to 16, so every case can be tried: exact, up to a number of cases that is a limit of its own.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from operator import eq, ge, gt, le, lt, ne
from typing import NamedTuple

from proclint.catalogue import Catalogue

Case = Mapping[str, int | str]
Ranges = tuple[tuple[str, tuple[int, int]], ...]
_MOST_CASES = 20_000
MOST = 16
_OPERATORS: Mapping[str, Callable[[int, int], bool]] = {"=": eq, "!=": ne, "<": lt, "<=": le, ">": gt, ">=": ge}
_ATOM = re.compile(r"\s*(.+?)\s*(<=|>=|!=|=|<|>)\s*(.+?)\s*")
_KEY = re.compile(r"[A-Z][0-9]{0,2}")
_TERM = re.compile(r"([+-]?)\s*([A-Za-z0-9][A-Za-z0-9.-]*)\s*")


class Sum(NamedTuple):
    """A sum of names and whole numbers, each with its sign."""

    terms: tuple[tuple[int, str], ...]

    @property
    def names(self) -> frozenset[str]:
        """The counts in it."""
        return frozenset(name for _, name in self.terms if not name.isdigit())


class Atom(NamedTuple):
    """One comparison. `variable` is set where a variable is compared with a word."""

    left: Sum
    operator: str
    right: Sum
    variable: str
    word: str


@dataclass(frozen=True, slots=True, eq=False)
class Condition:
    """Atoms that all must hold. One text gives one condition, so it is compared as an object."""

    text: str
    atoms: tuple[Atom, ...]

    @property
    def names(self) -> frozenset[str]:
        """The counts that it compares."""
        return frozenset(name for atom in self.atoms for name in atom.left.names | atom.right.names)


@lru_cache(maxsize=4096)
def read_condition(text: str, catalogue: Catalogue) -> Condition | None:
    """Read a condition, or give nothing where it is none."""
    atoms = []
    for part in text.split(" and "):
        found = _ATOM.fullmatch(part)
        atom = _atom(found[1], found[2], found[3], catalogue) if found else None
        if atom is None:
            return None
        atoms.append(atom)
    return Condition(text, tuple(atoms))


def _atom(left: str, operator: str, right: str, catalogue: Catalogue) -> Atom | None:
    # A key's own variable bears the key before it: `K.kind = remote`.
    variable = catalogue.variables.get(left.rpartition(".")[2])
    if variable is not None and variable.values:
        fits = right in variable.values or (variable.or_key and _KEY.fullmatch(right) is not None)
        return Atom(Sum(()), operator, Sum(()), left, right) if fits and operator in ("=", "!=") else None
    sums = _sum(left), _sum(right)
    if sums[0] is None or sums[1] is None:
        return None
    return Atom(sums[0], operator, sums[1], "", "")


def _sum(text: str) -> Sum | None:
    terms: list[tuple[int, str]] = []
    at = 0
    while at < len(text):
        found = _TERM.match(text, at)
        if found is None or (terms and not found[1]):
            return None
        terms.append((-1 if found[1] == "-" else 1, found[2]))
        at = found.end()
    return Sum(tuple(terms)) if terms else None


@lru_cache(maxsize=4096)
def overlap(first: Condition, second: Condition, catalogue: Catalogue, ranges: Ranges = ()) -> Case | None:
    """Give a case in which both hold, or nothing where there is none.

    Raises TooManyCases where the cases cannot all be tried.
    """
    for case in _cases((first, second), catalogue, ranges):
        if holds(first, case) and holds(second, case):
            return case
    return None


@lru_cache(maxsize=4096)
def left_out(conditions: tuple[Condition, ...], catalogue: Catalogue, ranges: Ranges = ()) -> Case | None:
    """Give a case in which none holds, or nothing where some condition always does.

    Raises TooManyCases where the cases cannot all be tried.
    """
    for case in _cases(conditions, catalogue, ranges):
        if not any(holds(condition, case) for condition in conditions):
            return case
    return None


class TooManyCases(Exception):
    """Raised where conditions name more counts than can be tried out; holds the number of cases."""


def _cases(conditions: Sequence[Condition], catalogue: Catalogue, ranges: Ranges) -> Iterator[Case]:
    domains: dict[str, Sequence[int | str]] = {}
    spans = dict(ranges)
    alone = _compared_alone(conditions)
    for condition in conditions:
        for atom in condition.atoms:
            if atom.variable:
                known = domains.get(atom.variable, catalogue.variables[atom.variable.rpartition(".")[2]].values)
                # A key may be a value too, and is none of the words.
                domains[atom.variable] = tuple(dict.fromkeys((*known, atom.word)))
            for name in atom.left.names | atom.right.names:
                domains[name] = _span(name, spans)
    for name in alone:
        domains[name] = _telling(name, conditions, _span(name, spans))
    total = 1
    for domain in domains.values():
        total *= len(domain)
    if total > _MOST_CASES:
        raise TooManyCases(total)
    names = sorted(domains)
    for values in product(*(domains[name] for name in names)):
        yield dict(zip(names, values, strict=True))


def _compared_alone(conditions: Sequence[Condition]) -> frozenset[str]:
    """Give the counts that are only ever compared with a number: few of their values tell all there is to tell."""
    alone: set[str] = set()
    summed: set[str] = set()
    for condition in conditions:
        for atom in condition.atoms:
            names = atom.left.names | atom.right.names
            # A count that is compared with itself stands on both sides.
            is_alone = len(atom.left.terms) == len(atom.right.terms) == len(atom.left.names) + len(atom.right.names) == 1
            (alone if is_alone else summed).update(names)
    return frozenset(alone - summed)


def _span(name: str, spans: Mapping[str, tuple[int, int]]) -> range:
    """Give the values that a count can have."""
    least, most = spans.get(name, (0, MOST))
    return range(least, most + 1)


def _telling(name: str, conditions: Sequence[Condition], span: range) -> tuple[int, ...]:
    """Give the least count and those beside and at each number that a count is compared with."""
    numbers = {span.start}
    for condition in conditions:
        for atom in condition.atoms:
            for side, other in ((atom.left, atom.right), (atom.right, atom.left)):
                if name in side.names:
                    at = side.terms[0][0] * other.terms[0][0] * int(other.terms[0][1])
                    numbers |= {at - 1, at, at + 1}
    return tuple(sorted(number for number in numbers if number in span))


def holds(condition: Condition, case: Case) -> bool:
    """Whether a condition holds in a case that gives a value to each of its names."""
    return all(_atom_holds(atom, case) for atom in condition.atoms)


def _atom_holds(atom: Atom, case: Case) -> bool:
    if atom.variable:
        return (case[atom.variable] == atom.word) == (atom.operator == "=")
    return _OPERATORS[atom.operator](_value(atom.left, case), _value(atom.right, case))


def _value(total: Sum, case: Case) -> int:
    return sum(sign * int(name if name.isdigit() else case[name]) for sign, name in total.terms)


def in_words(case: Case) -> str:
    """Say a case as a person would: `m is 0 and n is 0`."""
    return " and ".join(f"{name} is {value}" for name, value in case.items())
