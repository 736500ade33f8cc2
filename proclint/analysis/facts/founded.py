"""What procedures state of the most dangerous class, and which sources speak of that."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from proclint.analysis.facts.against import Stating
from proclint.analysis.facts.boxes import overlaps
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.sources import voices

_DANGER = "A"


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What a procedure states of an attribute, and the claims that others make of it for the same vehicles.

    `own` is the first place where it states that.
    """

    own: Claim
    attribute: str
    claims: tuple[Claim, ...]


def grounds(stating: Stating, evidence: Evidence) -> Iterator[Ground]:
    """Give what a procedure states of attributes of the most dangerous class, each once."""
    counterparts = _counterparts(evidence)
    first: dict[str, Claim] = {}
    for claim in stating.claims:
        attribute = counterparts.get(claim.statement.attribute)
        if attribute is not None and evidence.attributes[attribute].danger == _DANGER:
            first.setdefault(attribute, claim)
    for attribute, own in first.items():
        yield Ground(own, attribute, tuple(_said(attribute, stating, evidence)))


def _said(attribute: str, stating: Stating, evidence: Evidence) -> Iterator[Claim]:
    return (claim for claim in evidence.claims_near(stating.boxes) if claim.statement.attribute == attribute)


def _counterparts(evidence: Evidence) -> Mapping[str, str]:
    """Give the attribute of which a procedure speaks when it states one, or a quantity that is held against it alone."""
    attributes = {name for name, each in evidence.attributes.items() if not each.narrows}
    known = {name: name for name in attributes}
    for law in evidence.relations.laws:
        names = set(law.attributes)
        if len(names) == 2 and len(own := names & attributes) == 1:
            quantity = next(iter(names - own))
            if quantity in evidence.relations.quantities:
                known.setdefault(quantity, next(iter(own)))
    return known


def is_borne_out(ground: Ground, cited: Iterable[str], evidence: Evidence) -> bool:
    """Whether a source that speaks of it is cited, or one with which it is one voice."""
    pairs = ((claim.source, each) for claim in ground.claims for each in cited)
    return any(len(voices(pair, evidence.register)) == 1 for pair in pairs)


def all_tell(stating: Stating, cited: Collection[str], evidence: Evidence) -> bool:
    """Whether each source that a procedure cites has a table that speaks of its vehicles, so that what it leaves out is known."""
    rows = (row for table in evidence.read for row in table.applications)
    speaking = {row.source for row in rows if any(overlaps(row.box, box) for box in stating.boxes)}
    return evidence.is_whole and bool(cited) and speaking.issuperset(cited)
