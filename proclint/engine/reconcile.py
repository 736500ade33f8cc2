"""From files' bytes to what their sources say together: contradictions, what is believed, and who says so. Pure."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proclint.analysis import Shelf
from proclint.analysis.facts.against import Disagreement, Stating, disagreements, stating
from proclint.analysis.facts.boxes import overlaps
from proclint.analysis.facts.claims import Claim, Statement
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.in_words import column, row
from proclint.analysis.facts.reconcile import Conflict, Undecided
from proclint.analysis.facts.repairs import Missing, clusters, missing_dimensions, repairs
from proclint.analysis.facts.stated import job_of
from proclint.analysis.facts.weigh import Fact
from proclint.analysis.file_study import study_file
from proclint.catalogue import Catalogue
from proclint.engine.examine import evidence_of
from proclint.engine.inputs import Input
from proclint.engine.laying import Bench, settings_of
from proclint.engine.own_words import with_own_words
from proclint.engine.report import NotChecked
from proclint.engine.vehicle import Vehicle
from proclint.model import Block, Procedure
from proclint.settings import UsageProblem

_CLAIM = "Write SOURCE:ROW:COLUMN as the report shows it: supplier-note-7:2:remote-cap."


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A smallest set of claims that cannot all be true: by which relations, and what mends it, the least trusted first."""

    conflict: Conflict
    relations: tuple[str, ...]
    missing: tuple[Missing, ...]


@dataclass(frozen=True, slots=True)
class Cluster:
    """Contradictions that share claims, and the sets of statements of which each mends all of them."""

    contradictions: tuple[Contradiction, ...]
    mends: tuple[tuple[Statement, ...], ...]


@dataclass(frozen=True)
class Reconciliation:
    """What the sources of a library say together."""

    evidence: Evidence
    clusters: tuple[Cluster, ...]
    undecided: tuple[Undecided, ...]
    disagreements: tuple[Disagreement, ...]
    jobs: tuple[Stating, ...]
    facts: tuple[Fact, ...]
    not_checked: tuple[NotChecked, ...]

    @property
    def fails(self) -> bool:
        """Whether something is contradicted, or was not decided."""
        return bool(self.clusters or self.undecided or self.disagreements or self.evidence.bad)


def reconcile_files(inputs: Iterable[Input], catalogue: Catalogue, *, on: str, vehicle: Vehicle | None = None) -> Reconciliation:
    """Hold what all tables, reports and procedures say against each other; of one vehicle, where one is named."""
    given = tuple(inputs)
    catalogue = with_own_words(given, catalogue, on)
    studies = [study_file(each.name, each.content, each.kind, catalogue, on=on) for each in given]
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    bench = Bench(Shelf(blocks, catalogue), (), settings_of(studies), on)
    evidence = evidence_of(studies, bench)
    procedures = (study.flow for study in studies if isinstance(study.flow, Procedure))
    jobs = tuple(stating(job_of(each, blocks), evidence) for each in procedures)
    left_out = tuple(NotChecked(study.file, "it cannot be read") for study in studies if study.troubles)
    box = vehicle.box(evidence.space) if vehicle is not None else evidence.space.everything
    jobs = tuple(each for each in jobs if any(overlaps(box, other) for other in each.boxes))
    conflicts = [each for each in evidence.conflicts if any(overlaps(box, other) for other in each.boxes)]
    return Reconciliation(
        evidence=evidence,
        clusters=tuple(_clusters(conflicts, evidence)),
        undecided=tuple(each for each in evidence.reconciled.undecided if any(overlaps(box, other) for other in each.boxes)),
        disagreements=tuple(found for each in jobs for found in disagreements(each, evidence)),
        jobs=jobs,
        facts=tuple(each for each in evidence.facts if any(overlaps(box, other) for other in each.boxes)),
        not_checked=left_out,
    )


def _clusters(conflicts: list[Conflict], evidence: Evidence) -> Iterator[Cluster]:
    for group in clusters(conflicts):
        told = tuple(
            Contradiction(
                each, evidence.reconciler.relations_behind(each), missing_dimensions(each, evidence.claims, evidence.space)
            )
            for each in group
        )
        yield Cluster(told, repairs(group, evidence.register).sets)


@dataclass(frozen=True, slots=True)
class Change:
    """How a fact changes; of two values the one before and the one after."""

    before: Fact
    after: Fact


@dataclass(frozen=True, slots=True)
class Belief:
    """What changes if a claim were taken as true: facts, and what procedures then contradict, and no longer contradict."""

    claim: Claim
    facts: tuple[Change, ...]
    gained: tuple[Disagreement, ...]
    lost: tuple[Disagreement, ...]


def believing(found: Reconciliation, named: str) -> Belief:
    """Say what changes if a claim, named as SOURCE:ROW:COLUMN, were taken as true. Raises UsageProblem where there is none."""
    claim = _claim(found.evidence, named)
    other = found.evidence.believing(claim)
    after = tuple(each for job in found.jobs for each in disagreements(job, other))
    marks = [{_mark(each) for each in some} for some in (found.disagreements, after)]
    return Belief(
        claim,
        tuple(_changes(found.evidence.facts, other.facts)),
        tuple(each for each in after if _mark(each) not in marks[0]),
        tuple(each for each in found.disagreements if _mark(each) not in marks[1]),
    )


def _mark(each: Disagreement) -> object:
    return each.job.id, tuple((claim.statement, claim.at) for claim in each.own), each.relations


def _changes(before: Iterable[Fact], after: Iterable[Fact]) -> Iterator[Change]:
    """Give the facts that differ: the same boxes of the same attribute, as claims and so cells are the same."""
    known = {(each.attribute, each.boxes): each for each in before}
    for each in after:
        old = known.get((each.attribute, each.boxes))
        if old is not None and (old.domain, old.standing) != (each.domain, each.standing):
            yield Change(old, each)


def _claim(evidence: Evidence, named: str) -> Claim:
    for claim in evidence.claims:
        if named in (name_of(claim), f"{claim.at.file}:{row(claim)}:{column(claim)}"):
            return claim
    raise UsageProblem(f"--believe: there is no claim '{named}'.", _CLAIM)


def name_of(claim: Claim) -> str:
    """Give the name by which a claim can be believed: its table, row and column."""
    file = claim.at.file.rpartition("/")[2].removesuffix(".csv")
    return f"{file}:{row(claim)}:{column(claim)}"
