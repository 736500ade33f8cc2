"""The names that a condition or an effect may use where it stands, and what each of them can be."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import NamedTuple, Protocol

from proclint.catalogue.conditions import Form, Operand, Sum, Whose
from proclint.catalogue.entries import Action, Attribute, Variable
from proclint.catalogue.nearest import nearest
from proclint.catalogue.patterns import Kind
from proclint.catalogue.reading import ACTORS
from proclint.catalogue.units import units

# What an operand can be besides words; no word has a space.
ANYTHING, COUNT, A_KEY = "any word", "a count", "a key"
_OF_KIND = {"number": COUNT, "name": COUNT, "duration": "a time", "volts": "a voltage", "key": A_KEY}
_TRUTH = frozenset({"true", "false"})
# What a line waits for: a tone and nothing besides, or anything else.
SIGNS = frozenset({"tone", "other"})
# Whose variable it is says what owns it; a parameter says it by its kind.
_OWNERS = {
    Whose.VEHICLE: "vehicle",
    Whose.ITS_KIND: "kind",
    Whose.KIND: "kind",
    Whose.EVERY: "key",
    Whose.OTHERS: "key",
    Whose.SOME: "key",
}


class Misread(Exception):
    """Raised for a text that is not in the grammar, or names what there is not; its text is a sentence for a person."""


class Names(Protocol):
    """The topics of a catalogue that give names to conditions and effects."""

    @property
    def variables(self) -> Mapping[str, Variable]:
        """What can be known."""

    @property
    def kinds(self) -> Mapping[str, Kind]:
        """What fits a parameter."""

    @property
    def actions(self) -> Mapping[str, Action]:
        """What a line can say."""

    @property
    def attributes(self) -> Mapping[str, Attribute]:
        """What a facts table can say."""


class Scope(NamedTuple):
    """The catalogue's names, and the parameters that may be told there, each with the kinds that it can be of.

    With `owner` variables of that owner stand without it: the sum is reckoned for each of them.
    """

    names: Names
    parameters: Mapping[str, tuple[Kind, ...]]
    owner: str = ""

    @property
    def kinds_of_key(self) -> tuple[str, ...]:
        """The kinds of which a key can be."""
        return self.names.kinds["kind"].words

    def variable(self, name: str, whose: Whose = Whose.VEHICLE, owner: str = "") -> Operand:
        """Give a variable. Raises Misread where there is none, or not one of that owner."""
        known = self.names.variables.get(name)
        if known is None:
            raise Misread(f"There is no variable '{name}'.{hint(name, self.names.variables)}")
        if self.owner and whose is Whose.VEHICLE and known.owner == self.owner:
            whose = Whose.SAME
        elif known.owner not in self._owners(whose, owner):
            said = "is the vehicle's" if known.owner == "vehicle" else f"belongs to a {known.owner}"
            raise Misread(f"'{Operand(Form.VARIABLE, name, whose, owner)}' does not fit: '{name}' {said}.")
        return Operand(Form.VARIABLE, name, whose, owner)

    def _owners(self, whose: Whose, owner: str) -> frozenset[str]:
        if whose is not Whose.TOLD:
            return frozenset({_OWNERS[whose]})
        kinds = self.parameters[owner]
        also = {"kind"} if any(set(kind.words) & set(self.kinds_of_key) for kind in kinds) else set()
        return frozenset({kind.name for kind in kinds} | also)

    def fact(self, name: str) -> Operand:
        """Give a fact. Raises Misread where no facts table has such a column."""
        if name not in self.names.attributes:
            raise Misread(f"There is no attribute '{name}'.{hint(name, self.names.attributes)}")
        return Operand(Form.FACT, name)

    def told(self, name: str) -> Operand:
        """Give a parameter: its word, or the variable that its word names. Raises Misread where there is none."""
        if name not in self.parameters:
            raise Misread(f"There is no parameter '{name}'.{hint(name, self.parameters)}")
        names_one = all(self._names_a_variable(kind) for kind in self.parameters[name])
        return Operand(Form.NAMED if names_one else Form.TOLD, name)

    def _names_a_variable(self, kind: Kind) -> bool:
        return kind.name == "name" or (bool(kind.words) and all(word in self.names.variables for word in kind.words))

    def values(self, term: Sum) -> frozenset[str]:
        """Give what a term can be: words, and what is more than words. A sum of two is a number. Raises Misread."""
        first, *second = map(self._values, term.operands)
        if not second:
            return first
        both = common(first, second[0]) & numbers()
        if not both:
            raise Misread(f"'{term}' adds up what are no numbers, or not of one sort.")
        return both

    def _values(self, operand: Operand) -> frozenset[str]:
        match operand.form:
            case Form.VARIABLE:
                return _of_variable(self.names.variables[operand.name])
            case Form.NAMED | Form.TOLD:
                kinds = self.parameters[operand.name]
                return frozenset().union(*(self._of_kind(kind, operand.form) for kind in kinds))
            case Form.FACT:
                return _of_attribute(self.names.attributes[operand.name])
            case Form.LINE:
                return self._of_line(operand.name)
            case _:
                return _of_number(operand) if operand.form is Form.NUMBER else frozenset({operand.name})

    def _of_kind(self, kind: Kind, form: Form) -> frozenset[str]:
        if form is Form.NAMED and kind.words:
            return frozenset().union(*(_of_variable(self.names.variables[word]) for word in kind.words))
        return frozenset(kind.words) or frozenset({_OF_KIND.get(kind.name, ANYTHING)})

    def _of_line(self, name: str) -> frozenset[str]:
        if name == "action":
            return frozenset(self.names.actions)
        if name == "sign":
            return SIGNS
        return frozenset(ACTORS if name == "actor" else self.names.kinds["choice"].words)


def scope_of(names: Names, verbs: Iterable[str] = ()) -> Scope:
    """Give the scope in which the parameters of some verbs may be told; a verb that there is not has none."""
    told: dict[str, tuple[Kind, ...]] = {}
    for verb in verbs:
        parameters = names.actions[verb].parameters if verb in names.actions else {}
        for name, parameter in parameters.items():
            # That there is no such kind is told where the parameter is declared.
            if parameter.kind in names.kinds:
                told[name] = (*told.get(name, ()), names.kinds[parameter.kind])
    return Scope(names, told)


def hint(word: str, known: Iterable[str]) -> str:
    """Give a question for the word that was meant, none where nobody can tell."""
    near = nearest(word, known)
    return f" Did you mean '{near}'?" if near else ""


@cache
def numbers() -> frozenset[str]:
    """Give the sorts of numbers."""
    return frozenset({COUNT, *map(_sort, units())})


def common(one: frozenset[str], other: frozenset[str]) -> frozenset[str]:
    """Give what two terms can both be."""
    if ANYTHING in one:
        return other
    return one if ANYTHING in other else one & other


def _sort(unit: str) -> str:
    """Give the sort of the numbers in a unit: a time, a voltage; a count where it is no unit."""
    known = units().get(unit)
    return f"a {known.quantity}" if known else COUNT


def _of_variable(variable: Variable) -> frozenset[str]:
    if variable.numbers is not None:
        return frozenset({_sort(variable.unit)})
    return frozenset((*variable.values, A_KEY) if variable.or_key else variable.values)


def _of_attribute(attribute: Attribute) -> frozenset[str]:
    match attribute.type:
        case "words":
            return frozenset(attribute.words)
        case "truth":
            return _TRUTH
        case "count" | "quantity":
            return frozenset((_sort(attribute.unit), *attribute.words))
        case _:
            return frozenset({ANYTHING})


def _of_number(operand: Operand) -> frozenset[str]:
    # Nothing is nothing in every unit.
    return frozenset({_sort(operand.name)}) if operand.name or operand.number else numbers()
