"""The account of one file: all that is computed of it, put together for a person who decides."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from proclint.analysis import Study
from proclint.analysis.account.course import Course, course_of
from proclint.analysis.account.endings import Ending, endings_of
from proclint.analysis.account.hazards import HazardRow, hazards_of
from proclint.analysis.account.neighbours import Neighbours, neighbours_of
from proclint.analysis.account.slots import Ledger, ledgers_of
from proclint.analysis.file_study import FileStudy
from proclint.analysis.states.covered import Covered
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


class Inside(NamedTuple):
    """What is computed of the steps of a procedure or block."""

    course: Course
    endings: tuple[Ending, ...]
    bars: tuple[Bar, ...]
    ledgers: tuple[Ledger, ...]
    hazards: tuple[HazardRow, ...]
    own_cautions: tuple[tuple[Caution, tuple[str, ...]], ...]
    neighbours: Neighbours


class Account(NamedTuple):
    """The account of a file: its results, each with how it stands to the old version, and those that are `gone`.

    `change` is nothing where nothing was compared; a change without differences is `no change in meaning`. There is no
    `inside` to what holds no steps or cannot be read.
    """

    file: str
    kind: str
    head: Head
    verdict: Verdict
    results: tuple[Reported, ...]
    accepted: tuple[Reported, ...]
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
    """Two editions beside each other and the report on what is accounted for; without an old one nothing is compared."""

    new: Edition
    old: Edition | None
    report: Report

    def account(self, file: FileStudy, change: FileChange | None) -> Account:
        """Give the account of a file of the new edition."""
        old = self.old.file(change.old if change is not None else file.file) if self.old is not None else None
        results = _at(file.file, self.report.results)
        inside = _inside(file.flow, self.new) if file.flow is not None and file.is_sound else None
        unchecked = [*unchecked_in(file.file, self.report, results), *self._unchecked(file.flow, inside, change)]
        absent = self.report.since.absent if self.report.since is not None else ()
        return Account(
            file=file.file,
            kind=file.kind,
            head=head_of(file, old, self.new.studies, self.new.catalogue),
            verdict=verdict_of(
                results,
                change.differences if change is not None else (),
                self.report.failing_level,
                brought=self._brought(change),
            ),
            results=results,
            accepted=_at(file.file, self.report.accepted),
            gone=_at(old.file, absent) if old is not None else (),
            change=change,
            inside=inside,
            unchecked=tuple(unchecked),
        )

    def _brought(self, change: FileChange | None) -> Iterator[Reported]:
        """Give what keeps the gate shut in the procedures that follow a block that differs."""
        followers = change.reaches if change is not None else ()
        files = {flow.at.file for flow in self.new.flows if flow.id in followers}
        return (each for each in self.report.results if each.result.at.file in files and self.report.is_failing(each))

    def _unchecked(self, flow: Flow | None, inside: Inside | None, change: FileChange | None) -> Iterator[str]:
        if flow is not None and inside is not None:
            yield from unchecked_of(self.new.study(flow), inside.endings, inside.neighbours)
        if change is not None and change.not_compared:
            yield f"The difference in meaning: {change.not_compared}."


def _at(file: str, results: tuple[Reported, ...]) -> tuple[Reported, ...]:
    return tuple(each for each in results if each.result.at.file == file)


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
        neighbours=neighbours_of(flow, edition.flows, edition.evidence, edition.catalogue),
    )


def _covered(study: Study) -> Covered | None:
    if study.outline is None:
        return None
    return Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))


def _shown_at(flow: Flow, caution: str) -> Iterator[str]:
    return (step.name for step in flow.steps.values() if any(word.text == caution for word in step.cautions))
