"""What a procedure states, held against what is believed of its vehicles."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from proclint.analysis.facts.boxes import Box, meet, uncovered
from proclint.analysis.facts.claims import Application, Claim, Statement
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Conflict, Undecided
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.stated import Job, Stated
from proclint.analysis.facts.weigh import Fact, Grade
from proclint.catalogue.domains import Unfit
from proclint.source import Scalar


@dataclass(frozen=True, slots=True, eq=False)
class Stating:
    """A procedure's job, the boxes of its vehicles, and what it states as claims; what makes no sense as one is left out."""

    job: Job
    boxes: tuple[Box, ...]
    claims: tuple[Claim, ...]


def boxes_of(job: Job, space: Space) -> tuple[Box, ...]:
    """Give the boxes of a procedure's vehicles; what makes no sense as one is left out."""
    found = (space.box_of(each, job.method) for each in job.vehicles)
    return tuple(box for box in found if not isinstance(box, Unfit))


def stating(job: Job, evidence: Evidence) -> Stating:
    """Give what a procedure states as claims of its vehicles."""
    boxes = boxes_of(job, evidence.space)
    claims = tuple(claim for said in job.stated for box in boxes for claim in _claims(said, job, box, evidence))
    return Stating(job, boxes, claims)


def _claims(said: Stated, job: Job, box: Box, evidence: Evidence) -> Iterator[Claim]:
    statement = evidence.reader.statement(said.attribute, said.text)
    market = evidence.space.box({"markets": said.market})
    here = meet(box, market) if not isinstance(market, Unfit) else None
    if isinstance(statement, Statement) and here is not None:
        yield Claim(statement, Application(job.id, here, said.at), 0, said.text)


@dataclass(frozen=True, slots=True, eq=False)
class Disagreement:
    """What a procedure states, by the claims of it, and the facts with which it cannot be true; where, and by which relations.

    Without a relation it is one value against another.
    """

    job: Job
    own: tuple[Claim, ...]
    facts: tuple[Fact, ...]
    relations: tuple[str, ...]
    boxes: tuple[Box, ...]

    @property
    def attributes(self) -> frozenset[str]:
        """What the procedure speaks of there."""
        return frozenset(claim.statement.attribute for claim in self.own)

    @property
    def words(self) -> str:
        """What the procedure writes there."""
        node = self.own[0].at.node
        return node.text if isinstance(node, Scalar) else self.own[0].text

    def where(self, space: Space, dimension: str) -> str:
        """Say for which values of a dimension it is so."""
        taken = 0
        for box in self.boxes:
            taken |= box[space.axis(dimension)]
        whole = list(space.everything)
        whole[space.axis(dimension)] = taken
        return space.words(tuple(whole)).get(dimension, "all of them").replace("|", " and ")

    @property
    def is_contested(self) -> bool:
        """Whether a fact that it goes against is contested itself."""
        return any(fact.standing is Grade.CONTESTED for fact in self.facts)


class Held(NamedTuple):
    """Where what a procedure states cannot be true with what is believed of its vehicles, and what of that was not decided."""

    disagreements: tuple[Disagreement, ...] = ()
    undecided: tuple[Undecided, ...] = ()


def held(stating: Stating, evidence: Evidence) -> Held:
    """Hold what a procedure states against what is believed of its vehicles: the smallest sets that cannot be true."""
    if not stating.claims:
        return Held()
    believed = evidence.facts_as_claims(stating.boxes)
    by_id = {id(claim): fact for claim, fact in believed.items()}
    found = evidence.reconciler.reconcile([*stating.claims, *believed])
    names = {claim.statement.attribute for claim in stating.claims}
    return Held(
        tuple(_disagreements(found.conflicts, by_id, stating, evidence)),
        tuple(each for each in found.undecided if not names.isdisjoint(each.attributes)),
    )


def _disagreements(
    conflicts: Iterable[Conflict], by_id: dict[int, Fact], stating: Stating, evidence: Evidence
) -> Iterator[Disagreement]:
    for conflict in conflicts:
        found = _told(conflict, by_id)
        if found is not None:
            relations = evidence.reconciler.relations_behind(conflict)
            yield Disagreement(stating.job, found[0], found[1], relations, conflict.boxes)


def _told(conflict: Conflict, facts: dict[int, Fact]) -> tuple[tuple[Claim, ...], tuple[Fact, ...]] | None:
    """Give what is the procedure's own of a conflict, and the facts; what is believed as well is not held against it."""
    own, against = list[Claim](), list[Fact]()
    for claims in conflict.claims:
        believed = [claim for claim in claims if id(claim) in facts]
        if any(uncovered(box, [claim.box for claim in believed]) for box in conflict.boxes):
            own += [claim for claim in claims if id(claim) not in facts]
        else:
            against += [facts[id(claim)] for claim in believed]
    return (tuple(_once(own)), tuple(dict.fromkeys(against))) if own and against else None


def _once(claims: Iterable[Claim]) -> Iterator[Claim]:
    """Give claims that stand at one place once, however many boxes they are made of."""
    yield from {(claim.statement.attribute, claim.at): claim for claim in claims}.values()
