"""The account of one file: all that is computed of it, put together for a person who decides."""

from collections.abc import Iterator
from dataclasses import dataclass

from proclint.analysis import Study
from proclint.analysis.account.course import Course, course_of
from proclint.analysis.account.covered import Covered
from proclint.analysis.account.endings import Ending, endings_of
from proclint.analysis.account.hazards import HazardRow, hazards_of
from proclint.analysis.account.neighbours import Neighbours, neighbours_of
from proclint.analysis.account.slots import Ledger, ledgers_of
from proclint.analysis.file_study import FileStudy
from proclint.analysis.states.laying import lay
from proclint.analysis.states.steps import Layer
from proclint.analysis.time.bars import Bar, bars
from proclint.compare import Difference, FileChange
from proclint.engine import Report, Reported
from proclint.model import Caution, Flow, Procedure
from proclint.review.edition import Edition
from proclint.review.head import Head, head_of
from proclint.review.unchecked import unchecked_in, unchecked_of
from proclint.review.verdict import Verdict, verdict_of


@dataclass(frozen=True, slots=True)
class Inside:
    """What is computed of the steps of a procedure or block."""

    course: Course
    endings: tuple[Ending, ...]
    bars: tuple[Bar, ...]
    ledgers: tuple[Ledger, ...]
    hazards: tuple[HazardRow, ...]
    own_cautions: tuple[tuple[Caution, tuple[str, ...]], ...]
    neighbours: Neighbours


@dataclass(frozen=True, slots=True)
class Account:
    """The account of a file: of its results `new` are the fingerprints of those that came, `gone` those that went.

    `change` is nothing where nothing was compared; a change without differences is `no change in meaning`. There is no
    `inside` to what holds no steps or cannot be read.
    """

    file: str
    kind: str
    head: Head
    verdict: Verdict
    results: tuple[Reported, ...]
    accepted: tuple[Reported, ...]
    new: frozenset[str] | None
    gone: tuple[Reported, ...]
    change: FileChange | None
    inside: Inside | None
    unchecked: tuple[str, ...]

    @property
    def differences(self) -> tuple[Difference, ...]:
        """What differs in meaning from the other version."""
        return self.change.differences if self.change is not None else ()


@dataclass(frozen=True)
class Desk:
    """Two editions beside each other with the report on each; without an old one nothing is compared."""

    new: Edition
    report: Report
    old: Edition | None = None
    old_report: Report | None = None

    def account(self, file: FileStudy, change: FileChange | None) -> Account:
        """Give the account of a file of the new edition."""
        results = tuple(each for each in self.report.results if each.result.at.file == file.file)
        before = self._before(file, change)
        inside = _inside(file.flow, self.new) if file.flow is not None and file.is_sound else None
        unchecked = [*unchecked_in(file.file, self.report, results), *self._unchecked(file.flow, inside, change)]
        differences = change.differences if change is not None else ()
        return Account(
            file=file.file,
            kind=file.kind,
            head=head_of(file, self._old_file(file, change), self.new.studies, self.new.catalogue),
            verdict=verdict_of(results, differences, self.report.failing_level),
            results=results,
            accepted=tuple(each for each in self.report.accepted if each.result.at.file == file.file),
            new=frozenset(_marks(results) - _marks(before)) if self.old is not None else None,
            gone=tuple(each for each in before if each.fingerprint not in _marks(results)),
            change=change,
            inside=inside,
            unchecked=tuple(unchecked),
        )

    def _old_file(self, file: FileStudy, change: FileChange | None) -> FileStudy | None:
        return self.old.file(change.old if change is not None else file.file) if self.old is not None else None

    def _before(self, file: FileStudy, change: FileChange | None) -> tuple[Reported, ...]:
        name = change.old if change is not None else file.file
        results = self.old_report.results if self.old_report is not None else ()
        return tuple(each for each in results if each.result.at.file == name)

    def _unchecked(self, flow: Flow | None, inside: Inside | None, change: FileChange | None) -> Iterator[str]:
        if flow is not None and inside is not None:
            yield from unchecked_of(self.new.study(flow), inside.endings, inside.neighbours)
        if change is not None and change.not_compared:
            yield f"The difference in meaning: {change.not_compared}."


def _marks(results: tuple[Reported, ...]) -> set[str]:
    return {each.fingerprint for each in results}


def _inside(flow: Flow, edition: Edition) -> Inside:
    study = edition.study(flow)
    covered = _covered(study)
    shown = tuple((own, tuple(_shown_at(flow, own.name))) for own in flow.cautions.values())
    return Inside(
        course=course_of(study.written),
        endings=endings_of(study, covered),
        bars=bars(study.times),
        ledgers=ledgers_of(flow, covered) if isinstance(flow, Procedure) and covered is not None else (),
        hazards=hazards_of(study, covered) if covered is not None else (),
        own_cautions=shown,
        neighbours=neighbours_of(flow, edition.flows, edition.catalogue, edition.shelf.facts_of(flow)),
    )


def _covered(study: Study) -> Covered | None:
    if study.outline is None:
        return None
    return Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))


def _shown_at(flow: Flow, caution: str) -> Iterator[str]:
    return (step.name for step in flow.steps.values() if any(word.text == caution for word in step.cautions))
