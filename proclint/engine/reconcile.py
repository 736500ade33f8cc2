"""From files' bytes to what their sources say together: contradictions, what is believed, and who says so. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias, TypeVar

from proclint.analysis.facts.against import Disagreement, Stating, held
from proclint.analysis.facts.boxes import Box, overlaps
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.in_words import column, row
from proclint.analysis.facts.reconcile import Conflict, Undecided
from proclint.analysis.facts.repairs import Asking, Missing, Repairs, clusters, missing_dimensions, repairs, to_ask
from proclint.analysis.facts.tables import BadCell
from proclint.analysis.facts.weigh import Fact
from proclint.analysis.library import LibraryStudy, extract_of
from proclint.catalogue import Catalogue
from proclint.engine.accepting import Sifted, acceptances_in
from proclint.engine.inputs import Input
from proclint.engine.laying import Laid, lay_out, reader
from proclint.engine.report import NotChecked, OwnFault
from proclint.engine.vehicle import Vehicle
from proclint.engine.whole import Bar, Judged, judged, library_study
from proclint.model import Acceptance
from proclint.rule import Rule
from proclint.settings import UsageProblem

_CLAIM = "Write SOURCE:ROW:COLUMN as the report shows it: supplier-note-7:2:remote-cap."


class Contradiction(NamedTuple):
    """A smallest set of claims that cannot all be true: by which relations, what to ask first, and what may be missing."""

    conflict: Conflict
    relations: tuple[str, ...]
    asking: Asking
    missing: tuple[Missing, ...]


class Cluster(NamedTuple):
    """Contradictions that share claims, and what mends all of them together."""

    contradictions: tuple[Contradiction, ...]
    repairs: Repairs


Told: TypeAlias = Contradiction | Disagreement | Undecided | BadCell


class Accepted(NamedTuple):
    """What does not hold together and a person took as it is, with who, why and until when."""

    told: Told
    acceptance: Acceptance


@dataclass(frozen=True)
class Reconciliation:
    """What the sources of a library say together; what a person accepted stands apart."""

    evidence: Evidence
    clusters: tuple[Cluster, ...]
    undecided: tuple[Undecided, ...]
    disagreements: tuple[Disagreement, ...]
    bad: tuple[BadCell, ...]
    accepted: tuple[Accepted, ...]
    jobs: tuple[Stating, ...]
    facts: tuple[Fact, ...]
    not_checked: tuple[NotChecked, ...]
    own_faults: tuple[OwnFault, ...]

    @property
    def fails(self) -> bool:
        """Whether something is contradicted, was not decided or could not be read, and nobody accepted that."""
        return bool(self.clusters or self.undecided or self.disagreements or self.bad or self.not_checked)


def reconcile_files(
    inputs: Iterable[Input], catalogue: Catalogue, rules: tuple[Rule, ...], *, on: str, vehicle: Vehicle | None = None
) -> Reconciliation:
    """Hold what all tables, reports and procedures say against each other; of one vehicle, where one is named.

    Raises UsageProblem for a `library.yaml` that names a rule that does not exist or adds a word that clashes.
    """
    laid = lay_out(tuple(inputs), catalogue, rules, on=on, read=reader(on, lambda _: None))
    flows = (study.flow for study in laid.studies if study.flow is not None)
    acceptances = acceptances_in(laid.studies)
    library = library_study(laid, (extract_of(each, laid.bench.shelf.blocks) for each in flows), Bar(acceptances))
    # What nobody accepted anything of need not be put into results.
    found = judged(library, laid, acceptances) if acceptances else Judged(Sifted((), (), frozenset()), ())
    box = vehicle.box(library.evidence.space) if vehicle is not None else library.evidence.space.everything
    return _reconciliation(library, box, found, tuple(_left_out(laid)))


def _left_out(laid: Laid) -> Iterator[NotChecked]:
    """Name the files of which something could not be read; a cell that means nothing is told by itself."""
    for study in laid.studies:
        if study.table is not None and study.troubles:
            yield NotChecked(study.file, "some of its rows cannot be read; 'proclint examine' says which")
        elif study.document is None and study.table is None:
            yield NotChecked(study.file, "it cannot be read")
        elif study.table is None and study.flow is None and not study.is_sound:
            yield NotChecked(study.file, "its form is wrong; 'proclint examine' says where")


_Found = TypeVar("_Found")


class _Taken:
    """Who accepted what: a finding is accepted where a result about it is, and none about it is left."""

    def __init__(self, sifted: Sifted) -> None:
        left = {id(each.result.about) for each in sifted.left}
        told = {id(each.result.about): each.acceptance for each in sifted.accepted if each.acceptance is not None}
        self._taken: Mapping[int, Acceptance] = {about: each for about, each in told.items() if about not in left}

    def left(self, found: Iterable[_Found]) -> tuple[_Found, ...]:
        """Give the findings that nobody accepted."""
        return tuple(each for each in found if id(each) not in self._taken)

    def accepted(self, found: Iterable[_Found]) -> Iterator[tuple[_Found, Acceptance]]:
        """Give the findings that somebody accepted, each with that."""
        return ((each, self._taken[id(each)]) for each in found if id(each) in self._taken)


def _reconciliation(library: LibraryStudy, box: Box, found: Judged, left_out: tuple[NotChecked, ...]) -> Reconciliation:
    evidence, taken = library.evidence, _Taken(found.sifted)
    conflicts = tuple(each for each in evidence.conflicts if _meets(box, each.boxes))
    of_jobs = (each for _, job in library.held for each in job.undecided)
    undecided = tuple(each for each in (*evidence.reconciled.undecided, *of_jobs) if _meets(box, each.boxes))
    against = tuple(each for each in library.disagreements if _meets(box, each.boxes))
    others: tuple[Told, ...] = (*against, *undecided, *evidence.bad)
    accepted = (
        *(Accepted(_contradiction(each, evidence), by) for each, by in taken.accepted(conflicts)),
        *(Accepted(each, by) for each, by in taken.accepted(others)),
    )
    return Reconciliation(
        evidence=evidence,
        clusters=tuple(_clusters(taken.left(conflicts), evidence)),
        undecided=taken.left(undecided),
        disagreements=taken.left(against),
        bad=taken.left(evidence.bad),
        accepted=accepted,
        jobs=tuple(each for each in library.jobs if _meets(box, each.boxes)),
        facts=tuple(each for each in evidence.facts if _meets(box, each.boxes)),
        not_checked=left_out,
        own_faults=found.own_faults,
    )


def _meets(box: Box, others: Iterable[Box]) -> bool:
    return any(overlaps(box, other) for other in others)


def _clusters(conflicts: Iterable[Conflict], evidence: Evidence) -> Iterator[Cluster]:
    for group in clusters(conflicts):
        told = tuple(_contradiction(each, evidence) for each in group)
        yield Cluster(told, repairs(group, evidence.register))


def _contradiction(conflict: Conflict, evidence: Evidence) -> Contradiction:
    missing = missing_dimensions(conflict, evidence.claims, evidence.space)
    asking = to_ask(conflict, evidence.register)
    return Contradiction(conflict, evidence.reconciler.relations_behind(conflict), asking, missing)


class Change(NamedTuple):
    """How a fact changes; of two values the one before and the one after."""

    before: Fact
    after: Fact


class Belief(NamedTuple):
    """What changes if a claim were taken as true: facts, and what procedures then contradict, and no longer contradict."""

    claim: Claim
    facts: tuple[Change, ...]
    gained: tuple[Disagreement, ...]
    lost: tuple[Disagreement, ...]


def believing(found: Reconciliation, named: str) -> Belief:
    """Say what changes if a claim, named as SOURCE:ROW:COLUMN, were taken as true. Raises UsageProblem where there is none."""
    claim = _claim(found.evidence, named)
    other = found.evidence.believing(claim)
    before, after = (
        tuple(each for job in found.jobs for each in held(job, evidence).disagreements) for evidence in (found.evidence, other)
    )
    marks = [{_mark(each) for each in some} for some in (before, after)]
    return Belief(
        claim,
        tuple(_changes(found.facts, other.facts)),
        tuple(each for each in after if _mark(each) not in marks[0]),
        tuple(each for each in before if _mark(each) not in marks[1]),
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
    for claim in evidence.all_claims:
        if named in (name_of(claim), f"{claim.at.file}:{row(claim)}:{column(claim)}"):
            return claim
    raise UsageProblem(f"--believe: there is no claim '{named}'.", _CLAIM)


def name_of(claim: Claim) -> str:
    """Give the name by which a claim can be believed: its table, row and column."""
    file = claim.at.file.rpartition("/")[2].removesuffix(".csv")
    return f"{file}:{row(claim)}:{column(claim)}"
