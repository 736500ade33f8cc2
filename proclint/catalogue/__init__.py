"""The trade as data: what can be known, done and hurt, and the words for it."""

from proclint.catalogue.catalogue import Catalogue, standard
from proclint.catalogue.entries import (
    EACH_VALUE,
    Action,
    Attribute,
    Hazard,
    MakeSure,
    Parameter,
    UnclearWord,
    Variable,
)
from proclint.catalogue.extension import extended
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.packaged import Tree
from proclint.catalogue.patterns import Kind, Pattern
from proclint.catalogue.problem import CatalogueProblem
from proclint.catalogue.units import Duration, Unit, read_duration

__all__ = [
    "EACH_VALUE",
    "Action",
    "Attribute",
    "Catalogue",
    "CatalogueProblem",
    "Duration",
    "Hazard",
    "Kind",
    "MakeSure",
    "MatchedLine",
    "Mismatch",
    "Parameter",
    "Pattern",
    "Tree",
    "UnclearWord",
    "Unit",
    "Variable",
    "extended",
    "read_duration",
    "standard",
]
