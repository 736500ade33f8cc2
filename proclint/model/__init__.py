"""Procedures and blocks as frozen, typed values, and the reading of a tree into them."""

from proclint.model.acceptance import Acceptance, read_acceptances
from proclint.model.digest import canonical, digest
from proclint.model.fault import Fault
from proclint.model.flow import Caution, Follow, Line, Loop, Mark, Prompt, Step, Way, Window, Word
from proclint.model.procedure import Block, End, Flow, KeyGroup, Procedure, Signed, Vehicles
from proclint.model.read import Reading, kind_of, read_flow
from proclint.model.registered import Registered, kinds_of_source, read_sources

__all__ = [
    "Acceptance",
    "Block",
    "Caution",
    "End",
    "Fault",
    "Flow",
    "Follow",
    "KeyGroup",
    "Line",
    "Loop",
    "Mark",
    "Procedure",
    "Prompt",
    "Reading",
    "Registered",
    "Signed",
    "Step",
    "Vehicles",
    "Way",
    "Window",
    "Word",
    "canonical",
    "digest",
    "kind_of",
    "kinds_of_source",
    "read_acceptances",
    "read_flow",
    "read_sources",
]
