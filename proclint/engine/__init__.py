"""The pure core: files' bytes in, a report out."""

from proclint.engine.examine import examine, place_of
from proclint.engine.inputs import Input
from proclint.engine.report import NotChecked, OwnFault, Report, Reported, Since
from proclint.engine.since import Versions, examine_since

__all__ = [
    "Input",
    "NotChecked",
    "OwnFault",
    "Report",
    "Reported",
    "Since",
    "Versions",
    "examine",
    "examine_since",
    "place_of",
]
