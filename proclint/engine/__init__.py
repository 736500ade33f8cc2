"""The pure core: files' bytes in, a report out."""

from proclint.engine.examine import examine, place_of
from proclint.engine.inputs import Input
from proclint.engine.reconcile import (
    Accepted,
    Belief,
    Cluster,
    Contradiction,
    Reconciliation,
    Told,
    believing,
    name_of,
    reconcile_files,
)
from proclint.engine.report import NotChecked, OwnFault, Report, Reported, Since
from proclint.engine.since import Versions, examine_since
from proclint.engine.vehicle import Vehicle, about, read_vehicle

__all__ = [
    "Accepted",
    "Belief",
    "Cluster",
    "Contradiction",
    "Input",
    "NotChecked",
    "OwnFault",
    "Reconciliation",
    "Report",
    "Reported",
    "Since",
    "Told",
    "Vehicle",
    "Versions",
    "about",
    "believing",
    "examine",
    "examine_since",
    "name_of",
    "place_of",
    "read_vehicle",
    "reconcile_files",
]
