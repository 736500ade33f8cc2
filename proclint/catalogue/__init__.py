"""The trade as data: what can be known, done and hurt, and the words for it."""

from importlib import import_module
from typing import TYPE_CHECKING

from proclint.catalogue.catalogue import Catalogue, standard
from proclint.catalogue.entries import (
    EACH_VALUE,
    Action,
    Attribute,
    DemandRow,
    Hazard,
    MakeSure,
    NeedOf,
    Parameter,
    UnclearWord,
    Variable,
)
from proclint.catalogue.extension import checked, extended
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.packaged import Tree
from proclint.catalogue.patterns import Kind, Pattern
from proclint.catalogue.problem import CatalogueProblem
from proclint.catalogue.units import Duration, Unit, read_duration

if TYPE_CHECKING:
    from proclint.catalogue.conditions import Atom, Effect, Form, Item, Operand, Operator, Shown, Sum, Whose
    from proclint.catalogue.deeds import Deed, Peril, Reach
    from proclint.catalogue.demands import Demand
    from proclint.catalogue.scope import Misread

__all__ = [
    "EACH_VALUE",
    "Action",
    "Atom",
    "Attribute",
    "Catalogue",
    "CatalogueProblem",
    "Deed",
    "Demand",
    "DemandRow",
    "Duration",
    "Effect",
    "Form",
    "Hazard",
    "Item",
    "Kind",
    "MakeSure",
    "MatchedLine",
    "Mismatch",
    "Misread",
    "NeedOf",
    "Operand",
    "Operator",
    "Parameter",
    "Pattern",
    "Peril",
    "Reach",
    "Shown",
    "Sum",
    "Tree",
    "UnclearWord",
    "Unit",
    "Variable",
    "Whose",
    "checked",
    "extended",
    "read_duration",
    "standard",
]

# What a run that follows no states does without; it is loaded when someone asks for it.
_WHEN_ASKED_FOR = {
    "conditions": ("Atom", "Effect", "Form", "Item", "Operand", "Operator", "Shown", "Sum", "Whose"),
    "deeds": ("Deed", "Peril", "Reach"),
    "demands": ("Demand",),
    "scope": ("Misread",),
}


def __getattr__(name: str) -> object:
    """Give a name that is loaded when it is asked for. Raises AttributeError for any other."""
    for module, names in _WHEN_ASKED_FOR.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{module}"), name)
    raise AttributeError(f"{__name__} has no '{name}'.")
