"""Reading conditions and effects; their grammar stands at the head of `actions.yaml`."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Literal, NamedTuple, cast

from proclint.catalogue.conditions import Atom, Effect, Form, Item, Operand, Operator, Shown, Sum, Whose
from proclint.catalogue.scope import ANYTHING, Misread, Scope, common, hint, numbers
from proclint.catalogue.units import units

_NAME = "[a-z][a-z0-9-]*"
_BARE = re.compile("[A-Za-z][A-Za-z0-9-]*")
_ONE = re.compile(
    r"(?P<number>(?:0|[1-9][0-9]{0,8})(?:\.[0-9]{1,9})?)(?: (?P<unit>[A-Za-z]+))?"
    rf"|\{{(?P<told>[a-z]+)\}}(?:(?P<its_kind>\.kind)?\.(?P<of_told>{_NAME}))?"
    rf"|(?P<owner>[a-z]+)\.(?P<owned>{_NAME})"
    r"|(?P<bare>[A-Za-z][A-Za-z0-9-]*)"
)
_SUM = re.compile(r"(.+?)(?: ([+-]) (.+))?")
_ATOM = re.compile(r"(.+?) (?:(=|!=|<=|>=|<|>) (.+)|(in|not in) \[(.*)\])")
_ABOUT_THE_LINE = ("action", "actor", "choice", "sign")
_EVERYONE = {"every": Whose.EVERY, "others": Whose.OTHERS, "some": Whose.SOME}
_UNKNOWN = frozenset({"unknown"})
_NO_WORDS: frozenset[str] = frozenset()


class Reader(NamedTuple):
    """Reads texts in one scope. What does not fit is told by Misread."""

    scope: Scope

    def item(self, text: str) -> Item:
        """Read what must hold, as `selector = P if gearbox = automatic`."""
        held, condition = self._parts(text)
        return Item(self._atoms(held), condition)

    def condition(self, text: str) -> tuple[Atom, ...]:
        """Read atoms that must all hold, as `action = start and hood != closed`."""
        held, condition = self._parts(text)
        if condition:
            raise Misread(f"'{text}' has an 'if', and has no use for one.")
        return self._atoms(held)

    def effect(self, text: str) -> Effect:
        """Read what a variable becomes, as `engine = stopped if {position} in [off, accessory]`."""
        held, condition = self._parts(text)
        atom = self._atom(held, _UNKNOWN)
        target = atom.left.alone
        if target is None or target.form not in (Form.VARIABLE, Form.NAMED):
            raise Misread(f"'{atom.left}' is nothing that an action makes.")
        if atom.operator not in ("=", "in"):
            raise Misread(f"'{held}' says what is not so, or not by how much; '=' or 'in [...]' belongs here.")
        if any(operand.whose is Whose.SOME for operand in atom.operands):
            raise Misread(f"'{held}' does not say of which key; only a condition may say 'some'.")
        return Effect(target, atom.right, atom.words, condition)

    def shown(self, text: str) -> Shown:
        """Read which variable becomes known, as `{counter}.used if {counter} != wrong-codes`."""
        held, condition = self._parts(text)
        target = self._one(held)
        if target.form not in (Form.VARIABLE, Form.NAMED) or target.whose is Whose.SOME:
            raise Misread(f"'{held}' is no variable that can be shown.")
        return Shown(target, condition)

    def sum(self, text: str) -> Sum:
        """Read what is reckoned, as `cap - used`."""
        found = _SUM.fullmatch(text)
        if found is None:
            raise Misread("Something must be written here.")
        first, sign, second = found.groups()
        if not second:
            return Sum(self._one(first))
        term = Sum(self._one(first), cast("Literal['+', '-']", sign), self._one(second))
        self.scope.values(term)
        return term

    def word(self, text: str) -> Operand:
        """Read what stands where a parameter is left out: any word, or `{key}.kind`."""
        return self._one(text, frozenset({text}))

    def _parts(self, text: str) -> tuple[str, tuple[Atom, ...]]:
        held, *conditions = " ".join(text.split()).split(" if ")
        if len(conditions) > 1:
            raise Misread(f"'{text}' has more than one 'if'.")
        return held, self._atoms(conditions[0]) if conditions else ()

    def _atoms(self, text: str) -> tuple[Atom, ...]:
        return tuple(self._atom(each) for each in text.split(" and "))

    def _atom(self, text: str, also: frozenset[str] = _NO_WORDS) -> Atom:
        found = _ATOM.fullmatch(text)
        if found is None:
            return self._fact_alone(text)
        left = self._left(found[1], text)
        values = self.scope.values(left) | also
        operator = cast("Operator", found[2] or found[4])
        if found[3] is None:
            return Atom(left, operator, words=tuple(self._listed(found[5], left, values - also)))
        if found[3] in values and found[2] in ("=", "!=") and _BARE.fullmatch(found[3]):
            return Atom(left, operator, Sum(Operand(Form.WORD, found[3])))
        atom = Atom(left, operator, self._right(found[3], left, values))
        self._must_fit(atom, text, values)
        return atom

    def _fact_alone(self, text: str) -> Atom:
        operand = self._left(text, text).alone
        if operand is None or operand.form is not Form.FACT or self.scope.names.attributes[operand.name].type != "conditions":
            raise Misread(f"'{text}' compares nothing; only a fact whose cell holds conditions may stand alone.")
        return Atom(Sum(operand), "holds")

    def _left(self, text: str, atom: str) -> Sum:
        variables = self.scope.names.variables
        if text not in variables and text not in _ABOUT_THE_LINE and _BARE.fullmatch(text):
            raise Misread(f"'{atom}' does not begin with a variable.{hint(text, (*variables, *_ABOUT_THE_LINE))}")
        term = self.sum(text)
        if term.first.form is Form.NUMBER:
            raise Misread(f"'{atom}' does not begin with a variable.")
        return term

    def _right(self, text: str, left: Sum, values: frozenset[str]) -> Sum:
        if not _BARE.fullmatch(text):
            return self.sum(text)
        if text not in values and text not in self.scope.names.variables and ANYTHING not in values:
            raise self._no_value(text, left, values)
        return Sum(self._one(text, values))

    def _no_value(self, word: str, left: Sum, values: frozenset[str]) -> Misread:
        if left.first.form is Form.LINE:
            said = f"There is no {left.first.name} '{word}'."
        else:
            said = f"'{word}' is no value of '{left}'."
        return Misread(said + hint(word, values))

    def _listed(self, text: str, left: Sum, values: frozenset[str]) -> Iterator[str]:
        words = text.split(", ")
        for number, word in enumerate(words):
            if not _BARE.fullmatch(word):
                raise Misread(f"'[{text}]' is no list of words such as '[off, on]'.")
            if word not in values and ANYTHING not in values:
                raise self._no_value(word, left, values)
            if word in words[:number]:
                raise Misread(f"'{word}' stands twice in '[{text}]'.")
            yield word

    def _must_fit(self, atom: Atom, text: str, values: frozenset[str]) -> None:
        assert atom.right is not None
        both = common(values, self.scope.values(atom.right))
        if atom.operator not in ("=", "!=") and not both & {*numbers(), ANYTHING}:
            raise Misread(f"'{text}' asks which is more of what are no numbers, or not of one sort.")
        if not both:
            raise Misread(f"'{atom.right}' is nothing that '{atom.left}' can be.")
        operand, number = atom.left.alone, atom.right.alone
        if operand and number and operand.form is Form.VARIABLE and number.form is Form.NUMBER:
            self._must_be_within(operand, number)

    def _must_be_within(self, operand: Operand, number: Operand) -> None:
        bounds = self.scope.names.variables[operand.name].numbers
        if bounds is not None and not number.name and not bounds[0] <= number.number <= bounds[1]:
            raise Misread(f"'{number}' is outside {bounds[0]}-{bounds[1]}, the numbers of '{operand.name}'.")

    def _one(self, text: str, values: frozenset[str] = _NO_WORDS) -> Operand:
        found = _ONE.fullmatch(text)
        if found is None:
            raise Misread(f"'{text}' is no variable, parameter, fact, word or number.")
        if found["number"]:
            return self._number(found["number"], found["unit"] or "")
        if found["told"]:
            return self._told(found["told"], Whose.ITS_KIND if found["its_kind"] else Whose.TOLD, found["of_told"])
        if found["owner"]:
            return self._owned(found["owner"], found["owned"])
        return self._bare(found["bare"], values)

    def _number(self, digits: str, unit: str) -> Operand:
        if unit and unit not in units():
            raise Misread(f"There is no unit '{unit}'.{hint(unit, units())}")
        return Operand(Form.NUMBER, unit, number=Decimal(digits))

    def _told(self, parameter: str, whose: Whose, variable: str | None) -> Operand:
        told = self.scope.told(parameter)
        if variable is None:
            return told
        if whose is Whose.ITS_KIND:
            self.scope.variable("kind", Whose.TOLD, parameter)
        return self.scope.variable(variable, whose, parameter)

    def _owned(self, owner: str, name: str) -> Operand:
        if owner == "fact":
            return self.scope.fact(name)
        if owner == "others" and "key" not in self.scope.parameters:
            raise Misread("'others' are all keys but {key}, and there is no parameter 'key'.")
        if owner in _EVERYONE:
            return self.scope.variable(name, _EVERYONE[owner])
        if owner in self.scope.kinds_of_key:
            return self.scope.variable(name, Whose.KIND, owner)
        raise Misread(f"There is no owner '{owner}'.{hint(owner, (*_EVERYONE, *self.scope.kinds_of_key))}")

    def _bare(self, word: str, values: frozenset[str]) -> Operand:
        if word in values:
            return Operand(Form.WORD, word)
        if word in _ABOUT_THE_LINE:
            return Operand(Form.LINE, word)
        if ANYTHING in values and word not in self.scope.names.variables:
            return Operand(Form.WORD, word)
        return self.scope.variable(word)
