"""Two versions of a file or a library: what changed in meaning, told in words of the trade, the most dangerous first. Pure."""

from proclint.compare.difference import Difference, Weight, What, in_order
from proclint.compare.flows import FlowComparison, Version, compare_flows
from proclint.compare.libraries import Comparison, FileChange, compare_libraries, is_reviewed
from proclint.compare.registers import compare_acceptances, compare_settings, compare_sources
from proclint.compare.tables import compare_tables

__all__ = [
    "Comparison",
    "Difference",
    "FileChange",
    "FlowComparison",
    "Version",
    "Weight",
    "What",
    "compare_acceptances",
    "compare_flows",
    "compare_libraries",
    "compare_settings",
    "compare_sources",
    "compare_tables",
    "in_order",
    "is_reviewed",
]
