"""What an ending leaves as it must not be left, and as it was not when the job began."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from proclint.model import Procedure

if TYPE_CHECKING:
    from proclint.analysis.states.findings import Finding
    from proclint.analysis.study import Study


def left_open(procedure: Procedure, study: "Study") -> Iterator[tuple["Finding", tuple[str, ...]]]:
    """Give what is found at endings, each with the values at which it is left and must not be.

    What is as the procedure says that it was at the start is left alone.
    """
    sums = study.catalogue.sums
    began = {single: word.text for name, word in procedure.start.items() for single in sums.get(name, (name,))}
    for found in study.states.of("left-open-at-end"):
        good = (*found.demand.good, began.get(found.demand.variable, ""))
        bad = tuple(value for value in found.found if value not in good)
        if bad:
            yield found, bad
