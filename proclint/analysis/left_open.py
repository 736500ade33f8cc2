"""What an ending leaves as it must not be left, and as it was not when the job began."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from proclint.model import Procedure

if TYPE_CHECKING:
    from proclint.analysis.states.findings import Finding
    from proclint.analysis.study import Study

_RULE = "left-open-at-end"


def left_open(procedure: Procedure, study: "Study") -> Iterator[tuple["Finding", tuple[str, ...]]]:
    """Give what is found at endings, each with the values at which it is left and must not be.

    What is as the procedure says that it was at the start is left alone, and so is what was only taken to be so because a line
    on the way needed it: that is told at the line.
    """
    sums = study.catalogue.sums
    began = {single: word.text for name, word in procedure.start.items() for single in sums.get(name, (name,))}
    for found in study.states.of(_RULE):
        good = (*found.demand.good, began.get(found.demand.variable, ""))
        bad = tuple(value for value in found.found if value not in good)
        if bad and not _is_taken_to_be(found, bad, study):
            yield found, bad


def _is_taken_to_be(found: "Finding", bad: tuple[str, ...], study: "Study") -> bool:
    """Whether a line on the way needs a variable to be what it is left at, and it was not known to be so there."""
    passed = [leg.station for leg in found.way]
    return any(
        each.demand.variable == found.demand.variable and set(bad) <= set(each.demand.good) and each.station in passed
        for each in study.states.broken
        if each.demand.rule != _RULE
    )
