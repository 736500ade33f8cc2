"""What the catalogue's conditions and effects say, as frozen values; their grammar stands at the head of `actions.yaml`.

Each value is written back by `str`, with one space where the grammar has one.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from functools import cached_property
from typing import Literal, TypeAlias

Operator: TypeAlias = Literal["=", "!=", "<", "<=", ">", ">=", "in", "not in", "holds"]


class Form(Enum):
    """What an operand is, and so what its `name` names."""

    VARIABLE = "a variable"
    NAMED = "the variable that the word of a parameter names"
    TOLD = "the word of a parameter"
    FACT = "what is known of the vehicles: an attribute"
    LINE = "about the line itself: action, actor, choice or sign"
    WORD = "a word that stands for itself"
    NUMBER = "a number; `name` is its unit, none for a count"


class Whose(Enum):
    """Whose variable it is, and so what `owner` names."""

    VEHICLE = "the vehicle's, or that of no one in particular"
    SAME = "the same owner's as the variable that is reckoned from it"
    TOLD = "of the key, group or kind that the parameter `owner` says"
    ITS_KIND = "of the kind of the key that the parameter `owner` says"
    KIND = "of the kind `owner`"
    EVERY = "of each key"
    OTHERS = "of each key but {key}"
    SOME = "of at least one key, the same in the whole item"


@dataclass(frozen=True)
class Operand:
    """One thing that is compared or added; `number` is for a number only."""

    form: Form
    name: str
    whose: Whose = Whose.VEHICLE
    owner: str = ""
    number: Decimal = Decimal(0)

    def __str__(self) -> str:
        match self.form:
            case Form.NAMED | Form.TOLD:
                return f"{{{self.name}}}"
            case Form.FACT:
                return f"fact.{self.name}"
            case Form.NUMBER:
                return f"{self.number:f} {self.name}".rstrip()
            case _:
                return self._owner + self.name

    @property
    def _owner(self) -> str:
        match self.whose:
            case Whose.TOLD:
                return f"{{{self.owner}}}."
            case Whose.ITS_KIND:
                return f"{{{self.owner}}}.kind."
            case Whose.KIND:
                return f"{self.owner}."
            case Whose.EVERY | Whose.OTHERS | Whose.SOME:
                return f"{self.whose.name.lower()}."
            case _:
                return ""

    @cached_property
    def parameter(self) -> str:
        """The name of the parameter that it hangs on, none for most."""
        if self.form in (Form.NAMED, Form.TOLD):
            return self.name
        if self.whose is Whose.OTHERS:
            return "key"
        return self.owner if self.whose in (Whose.TOLD, Whose.ITS_KIND) else ""


@dataclass(frozen=True)
class Sum:
    """One operand, or two with `+` or `-` between them."""

    first: Operand
    sign: Literal["", "+", "-"] = ""
    second: Operand | None = None

    def __str__(self) -> str:
        return " ".join(str(part) for part in (self.first, self.sign, self.second) if part)

    @cached_property
    def operands(self) -> tuple[Operand, ...]:
        """The one, or the two."""
        return (self.first,) if self.second is None else (self.first, self.second)

    @cached_property
    def alone(self) -> Operand | None:
        """The operand where there is only one."""
        return self.first if self.second is None else None


@dataclass(frozen=True)
class Atom:
    """One comparison: with `right`, or with `words` for `in` and `not in`.

    With `holds` the conditions in the cell of a fact, which is `left`, are asked, and there is neither.
    """

    left: Sum
    operator: Operator
    right: Sum | None = None
    words: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.operator == "holds":
            return str(self.left)
        return f"{self.left} {self.operator} {_listed(self.words) if self.right is None else self.right}"

    @cached_property
    def operands(self) -> tuple[Operand, ...]:
        """All that is compared, listed words aside."""
        return self.left.operands + (() if self.right is None else self.right.operands)

    @cached_property
    def facts(self) -> tuple[Operand, ...]:
        """Those operands that are what is known of the vehicles."""
        return tuple(operand for operand in self.operands if operand.form is Form.FACT)

    @cached_property
    def is_of_line(self) -> bool:
        """Whether it may hang on what a line says, and not on the state of vehicle and keys alone."""
        return self.operator == "holds" or any(each.parameter or each.form is Form.LINE for each in self.operands)


@dataclass(frozen=True)
class Item:
    """Atoms that must all hold where all of `condition` does."""

    atoms: tuple[Atom, ...]
    condition: tuple[Atom, ...] = ()

    def __str__(self) -> str:
        return written(self.atoms) + _if(self.condition)

    @cached_property
    def parameters(self) -> frozenset[str]:
        """The parameters without which it is skipped."""
        return _parameters(_all_operands((*self.atoms, *self.condition)))

    @cached_property
    def whose(self) -> Whose:
        """Whether it is read for every key, for all others, or once."""
        owners = {operand.whose for operand in _all_operands((*self.atoms, *self.condition))}
        return next((whose for whose in (Whose.EVERY, Whose.OTHERS) if whose in owners), Whose.VEHICLE)


@dataclass(frozen=True)
class Effect:
    """What a variable becomes where all of `condition` holds, read from the state before.

    It becomes `value`, or one of `words`, not known which.
    """

    target: Operand
    value: Sum | None = None
    words: tuple[str, ...] = ()
    condition: tuple[Atom, ...] = ()

    def __str__(self) -> str:
        becomes = f"in {_listed(self.words)}" if self.value is None else f"= {self.value}"
        return f"{self.target} {becomes}{_if(self.condition)}"

    @property
    def forgets(self) -> bool:
        """Whether nothing is known of the variable any more."""
        return self.value == FORGOTTEN

    @cached_property
    def parameters(self) -> frozenset[str]:
        """The parameters without which it is skipped."""
        becomes = () if self.value is None else self.value.operands
        return _parameters((self.target, *becomes, *_all_operands(self.condition)))


@dataclass(frozen=True)
class Shown:
    """A variable that becomes known where all of `condition` holds."""

    target: Operand
    condition: tuple[Atom, ...] = ()

    def __str__(self) -> str:
        return f"{self.target}{_if(self.condition)}"

    @cached_property
    def parameters(self) -> frozenset[str]:
        """The parameters without which it is skipped."""
        return _parameters((self.target, *_all_operands(self.condition)))


# The right side of an effect after which nothing is known.
FORGOTTEN = Sum(Operand(Form.WORD, "unknown"))


def written(atoms: Iterable[Atom]) -> str:
    """Write atoms that must all hold."""
    return " and ".join(map(str, atoms))


def _if(condition: tuple[Atom, ...]) -> str:
    return f" if {written(condition)}" if condition else ""


def _listed(words: tuple[str, ...]) -> str:
    return f"[{', '.join(words)}]"


def _all_operands(atoms: Iterable[Atom]) -> Iterator[Operand]:
    return (operand for atom in atoms for operand in atom.operands)


def _parameters(operands: Iterable[Operand]) -> frozenset[str]:
    return frozenset(operand.parameter for operand in operands if operand.parameter)
