"""What one source far from the vehicle says alone."""

from collections.abc import Iterable, Iterator

from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.weigh import Fact, Grade

# What the maker says of the vehicle counts by itself (common practice, no source): the two kinds that are trusted most.
_BY_ITSELF = 2
_DANGER = "A"


def alone(evidence: Evidence, boxes: Iterable[Box]) -> Iterator[Claim]:
    """Give the claims of the most dangerous class, of vehicles in some boxes, that one distant source makes alone.

    A field report that nobody else bears out is what it says that it is, and is not among them. Where some cell cannot be
    read nothing is told: it may have said the same.
    """
    if not evidence.is_whole:
        return
    for fact in evidence.facts_of(dict.fromkeys(boxes)):
        claim = fact.cell
        if claim is not None and _is_alone(fact, claim, evidence):
            yield claim


def _is_alone(fact: Fact, claim: Claim, evidence: Evidence) -> bool:
    known = next((each for each in evidence.entries if each.id == claim.source), None)
    is_far = known is not None and evidence.register[known.id].rank > _BY_ITSELF
    return fact.standing is Grade.ONE_REPORT and is_far and evidence.attributes[fact.attribute].danger == _DANGER
