"""What can be computed from a procedure: pure, and knowing nothing of rules and results."""

from proclint.analysis.conditions import Condition, TooManyCases, in_words, left_out, overlap, read_condition
from proclint.analysis.graph import Edge, Node, StepGraph, build_graph, stops
from proclint.analysis.outcomes import RESERVED, Exit, Outcomes, fails_by_itself
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.structure import Loop, covers, dominators, loops, post_dominators, unbounded
from proclint.analysis.study import Limits, Study
from proclint.analysis.windows import Region

__all__ = [
    "RESERVED",
    "Condition",
    "Edge",
    "Exit",
    "Limits",
    "Loop",
    "Node",
    "Outcomes",
    "Region",
    "Shelf",
    "StepGraph",
    "Study",
    "TooManyCases",
    "Written",
    "WrittenStep",
    "build_graph",
    "covers",
    "dominators",
    "fails_by_itself",
    "in_words",
    "left_out",
    "loops",
    "overlap",
    "post_dominators",
    "read_condition",
    "stops",
    "unbounded",
]
