"""The pure core: files' bytes in, a report out.

What only some commands need (`reconcile`, `since`, `vehicle`) is taken from its own file, as loading it costs every call.
"""

from proclint.engine.examine import examine, place_of
from proclint.engine.inputs import Input
from proclint.engine.report import NotChecked, OwnFault, Report, Reported, Since

__all__ = ["Input", "NotChecked", "OwnFault", "Report", "Reported", "Since", "examine", "place_of"]
