"""The trade as data: what can be known, done and hurt, and the words for it."""

from proclint.catalogue.catalogue import Catalogue, standard
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.units import Duration, read_duration
from proclint.catalogue.words import Action, Hazard, Parameter, Variable

__all__ = [
    "Action",
    "Catalogue",
    "Duration",
    "Hazard",
    "MatchedLine",
    "Mismatch",
    "Parameter",
    "Variable",
    "read_duration",
    "standard",
]
