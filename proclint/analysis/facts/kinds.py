"""What kind of contradiction a conflict is: between sources, between rows of one table, or at a change within a model year."""

from collections.abc import Iterator
from enum import Enum, auto

from proclint.analysis.facts.boxes import lowest
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Conflict
from proclint.analysis.facts.space import Space


class Clash(Enum):
    """Where a contradiction comes from, and so what mends it."""

    OF_SOURCES = auto()
    OF_ROWS = auto()
    IN_A_YEAR = auto()


def clashes(evidence: Evidence, kind: Clash) -> Iterator[Conflict]:
    """Give the smallest contradictions of a kind."""
    return (conflict for conflict in evidence.conflicts if kind_of(conflict, evidence.space) is kind)


def kind_of(conflict: Conflict, space: Space) -> Clash:
    """Say of which kind a contradiction is."""
    if shared_year(conflict, space):
        return Clash.IN_A_YEAR
    sources = {claim.source for claims in conflict.claims for claim in claims}
    return Clash.OF_ROWS if len(sources) == 1 else Clash.OF_SOURCES


def shared_year(conflict: Conflict, space: Space) -> str:
    """Give the one model year in which what one claim speaks of ends and what another speaks of begins; nothing for others."""
    years = space.axis("years")
    bites = {box[years] for box in conflict.boxes}
    year = bites.pop() if len(bites) == 1 else 0
    if year.bit_count() != 1 or len(conflict.statements) != 2:
        return ""
    before, after = ([_ends(claim, years) for claim in claims] for claims in conflict.claims)
    at = lowest(year)
    for one, other in ((before, after), (after, before)):
        if all(first < last == at for first, last in one) and all(at == first < last for first, last in other):
            return space.words(conflict.boxes[0])["years"]
    return ""


def _ends(claim: Claim, years: int) -> tuple[int, int]:
    return lowest(claim.box[years]), claim.box[years].bit_length() - 1
