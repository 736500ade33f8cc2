"""The pure core: files' bytes in, a report out."""

from proclint.engine.examine import Input, examine, place_of
from proclint.engine.report import NotChecked, OwnFault, Report, Reported

__all__ = ["Input", "NotChecked", "OwnFault", "Report", "Reported", "examine", "place_of"]
