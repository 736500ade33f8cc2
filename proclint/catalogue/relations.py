"""What must hold between values: sums, implications and equal words, read from the catalogue.

Every sum has coefficients of one, so that bounds can be carried from term to term exactly.
"""

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from functools import cache
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from proclint.catalogue import reading
from proclint.catalogue.domains import Domain, between, domain_of, grain, one_of, without
from proclint.catalogue.entries import Attribute
from proclint.catalogue.packaged import packaged
from proclint.catalogue.row import Row

_NAME = re.compile(r"[a-z]+(?:-[a-z]+)*")
_AMONG = re.compile(rf"({_NAME.pattern}) in \[([^\[\]]+)\]")
_COMPARED = re.compile(r"(.+?) (<=|>=|!=|=|<|>) (.+)")
_INFINITE = 10**12


class Literal(NamedTuple):
    """That a value lies in a domain."""

    attribute: str
    domain: Domain


class Linear(NamedTuple):
    """That a sum of values, each with its sign, is at most a number; a value that is a word breaks it."""

    terms: tuple[tuple[int, str], ...]
    most: int


Consequence: TypeAlias = Literal | Linear


class Law(NamedTuple):
    """One thing that holds where all of some literals do. Laws of one `relation` are told as one."""

    relation: str
    given: tuple[Literal, ...]
    then: Consequence

    @property
    def attributes(self) -> tuple[str, ...]:
        """What it speaks of."""
        then = (self.then.attribute,) if isinstance(self.then, Literal) else tuple(name for _, name in self.then.terms)
        return (*(literal.attribute for literal in self.given), *then)


class Relations(NamedTuple):
    """What is known of values together.

    `attributes` are the catalogue's and `quantities`, which procedures and field reports state, by name; `domains` what
    each of those in a law can be; `nearness` how far apart two numbers may be and yet be one; `sayings` a sentence a relation.
    """

    attributes: Mapping[str, Attribute]
    quantities: Mapping[str, Attribute]
    domains: Mapping[str, Domain]
    nearness: Mapping[str, int]
    laws: tuple[Law, ...]
    sayings: Mapping[str, str]


@cache
def _packaged_row() -> Row:
    return Row("relations.yaml", "", packaged("relations"))


def relations_between(attributes: Mapping[str, Attribute]) -> Relations:
    """Give the packaged relations between attributes of a catalogue. Raises CatalogueProblem for what does not fit."""
    return read_relations(_packaged_row(), attributes)


def read_relations(root: Row, attributes: Mapping[str, Attribute]) -> Relations:
    """Read relations. Raises CatalogueProblem, with file and key, for what does not fit."""
    root.only(frozenset({"quantities", "nearness", "relations"}))
    quantities = {name: reading.attribute(row, name) for name, row in root.inside("quantities").rows()}
    for name in quantities:
        if name in attributes:
            raise root.inside("quantities").problem(name, f"'{name}' is an attribute already.")
    known = {**attributes, **quantities}
    laws = [law for name, row in root.inside("relations").rows() for law in _Reader(known, row).laws(name)]
    used = {name for law in laws for name in law.attributes}
    domains = {name: domain for name in sorted(used) if (domain := domain_of(known[name])) is not None}
    return Relations(
        MappingProxyType(known),
        MappingProxyType(quantities),
        MappingProxyType(domains),
        MappingProxyType(_nearness(root.inside("nearness"), known)),
        tuple(laws),
        MappingProxyType({name: row.needed("says") for name, row in root.inside("relations").rows()}),
    )


def _nearness(row: Row, known: Mapping[str, Attribute]) -> dict[str, int]:
    found = {}
    for name in row.fields:
        if name not in known or known[name].type != "quantity":
            raise row.problem(name, f"There is no quantity '{name}'.")
        try:
            found[name] = int(Decimal(row.needed(name)) * grain(known[name]))
        except InvalidOperation:
            raise row.problem(name, "A number belongs here.") from None
    return found


class _Reader(NamedTuple):
    """Reads one relation."""

    known: Mapping[str, Attribute]
    row: Row

    def laws(self, name: str) -> Iterator[Law]:
        self.row.only(frozenset({"when", "then", "says"}))
        given = tuple(self.literal(text) for text in self.row.texts("when"))
        if not self.row.texts("then"):
            raise self.row.problem("then", "What holds is missing.")
        for text in self.row.texts("then"):
            for more, then in self.consequences(text):
                yield Law(name, (*given, *more), then)

    def literal(self, text: str) -> Literal:
        """Read `head-kind = fob`, `head-kind in [plain, fob]` or `keys-added >= 1`."""
        among = _AMONG.fullmatch(text)
        if among is not None:
            words = [word.strip() for word in among[2].split(",")]
            return Literal(among[1], one_of(*(self.word(among[1], word, "when") for word in words)))
        name, operator, value = self.parts(text, "when")
        if _NAME.fullmatch(name) is None or not (value.isdigit() or operator in ("=", "!=")):
            raise self.row.problem("when", f"'{text}' does not hold one attribute against a word or a number.")
        whole = self.domain(name, "when")
        if value.isdigit():
            return Literal(name, self.numbers(name, operator, int(value)))
        word = one_of(self.word(name, value, "when"))
        return Literal(name, word if operator == "=" else without(whole, word))

    def numbers(self, name: str, operator: str, value: int) -> Domain:
        number = value * grain(self.known[name])
        ends = {
            "=": (number, number),
            "<": (-_INFINITE, number - 1),
            "<=": (-_INFINITE, number),
            ">": (number + 1, _INFINITE),
            ">=": (number, _INFINITE),
        }
        whole = self.domain(name, "when")
        return without(whole, between(number, number)) if operator == "!=" else between(*ends[operator])

    def consequences(self, text: str) -> Iterator[tuple[tuple[Literal, ...], Consequence]]:
        """Give what a text of `then` says, each with what must be given for it."""
        left, operator, right = self.parts(text, "then")
        words = [self.is_wordy(name) for name in (left, right)]
        if words == [True, True]:
            yield from self.same_word(left, right)
        elif words[0] and operator in ("=", "!="):
            word = one_of(self.word(left, right, "then"))
            yield (), Literal(left, word if operator == "=" else without(self.domain(left, "then"), word))
        else:
            for linear in self.sums(text, left, operator, right):
                yield (), linear

    def same_word(self, left: str, right: str) -> Iterator[tuple[tuple[Literal, ...], Consequence]]:
        for word in sorted(self.domain(left, "then").words | self.domain(right, "then").words):
            yield (Literal(left, one_of(word)),), Literal(right, one_of(word))
            yield (Literal(right, one_of(word)),), Literal(left, one_of(word))

    def sums(self, text: str, left: str, operator: str, right: str) -> Iterator[Linear]:
        """Read `a + b - 2 <= c`: as one sum that is at most a number, or two of them for `=`."""
        terms = [*self.terms(left, 1), *self.terms(right, -1)]
        named = [(sign, name) for sign, name in terms if not name.isdigit()]
        scales = {(grain(self.known[name]), self.known[name].unit) for _, name in named}
        if operator == "!=" or not named or (len(scales) > 1 and any(scale > 1 for scale, _ in scales)):
            raise self.row.problem("then", f"'{text}' is no sum of values that can be added, with one of = < <= > >=.")
        if len({name for _, name in named}) < len(named):
            raise self.row.problem("then", f"'{text}' names a value twice.")
        constant = sum(sign * int(name) for sign, name in terms if name.isdigit()) * scales.pop()[0]
        if operator in ("<", "<=", "="):
            yield Linear(tuple(named), -constant - (operator == "<"))
        if operator in (">", ">=", "="):
            yield Linear(tuple((-sign, name) for sign, name in named), constant - (operator == ">"))

    def terms(self, side: str, sign: int) -> Iterator[tuple[int, str]]:
        words = ["+", *side.split(" ")]
        for operator, name in zip(words[::2], words[1::2], strict=False):
            if operator not in ("+", "-") or len(words) % 2 or not (name.isdigit() or self.is_number(name)):
                raise self.row.problem("then", f"'{side}' is no sum of values and whole numbers.")
            yield (sign if operator == "+" else -sign), name

    def parts(self, text: str, field: str) -> tuple[str, str, str]:
        found = _COMPARED.fullmatch(text)
        if found is None:
            raise self.row.problem(field, f"'{text}' compares nothing.")
        return found[1], found[2], found[3]

    def domain(self, name: str, field: str) -> Domain:
        whole = domain_of(self.known[name]) if name in self.known else None
        if whole is None:
            raise self.row.problem(field, f"There is no attribute '{name}' with a last value.")
        return whole

    def word(self, name: str, word: str, field: str) -> str:
        if word not in self.domain(name, field).words:
            raise self.row.problem(field, f"'{name}' is never '{word}'.")
        return word

    def is_wordy(self, name: str) -> bool:
        return name in self.known and not self.is_number(name)

    def is_number(self, name: str) -> bool:
        return name in self.known and self.known[name].type in ("count", "quantity")
