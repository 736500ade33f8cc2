"""A review: an account of each file that a contribution changes, and what it changes in files that hold no steps."""

from collections.abc import Iterable
from typing import NamedTuple

from proclint.analysis.account.neighbours import overlapping
from proclint.analysis.file_study import STEPS, FileStudy
from proclint.catalogue import standard
from proclint.compare import Comparison, Difference, FileChange, compare_libraries, in_order
from proclint.engine import Input, Report, Reported, examine
from proclint.engine.since import Versions, examine_since
from proclint.results import State
from proclint.review.account import Account, Desk
from proclint.review.edition import Edition
from proclint.rule import Rule


class Review(NamedTuple):
    """The accounts by file name, other changes of meaning, and the report on what was accounted for.

    `against` is what it was held against, empty where that is nothing.
    """

    accounts: tuple[Account, ...]
    others: tuple[FileChange, ...]
    report: Report
    on: str
    against: str = ""

    @property
    def results_around(self) -> tuple[Reported, ...]:
        """The results that came in files without an account of their own."""
        known = {each.file for each in self.accounts}
        elsewhere = (each for each in self.report.results if each.result.at.file not in known)
        return tuple(each for each in elsewhere if each.state is not State.UNCHANGED)

    @property
    def is_same(self) -> bool:
        """Whether all was compared and nothing differs in meaning."""
        is_compared = not any(each.change is not None and each.change.not_compared for each in self.accounts)
        return bool(self.against) and is_compared and not self.differences and not self.others

    @property
    def differences(self) -> tuple[Difference, ...]:
        """All differences in meaning, the most dangerous first."""
        given = (*(each.change for each in self.accounts if each.change is not None), *self.others)
        return in_order(difference for change in given for difference in change.differences)


def review(new: Edition, old: Edition | None, rules: tuple[Rule, ...], files: Iterable[str], *, against: str = "") -> Review:
    """Review files of a library by name or, where none is named, those that differ in meaning from the old edition."""
    comparison = compare_libraries(old.studies, new.studies, new.catalogue) if old is not None else Comparison(())
    changes = {change.new: change for change in comparison.changes if change.new}
    differing = (name for name, change in changes.items() if change.kind in STEPS and change.is_of_itself)
    wanted = frozenset(files) or frozenset(differing)
    chosen = [study for study in new.studies if study.file in wanted]
    around = _around(new, old, comparison)
    before = frozenset(changes[name].old if name in changes else name for name in wanted)
    desk = Desk(new, old, _examined((new, wanted | around), (old, before | around) if old is not None else None, rules, against))
    accounts = tuple(desk.account(study, _change_of(study, changes, old)) for study in chosen)
    others = tuple(change for change in comparison.changes if change.new not in wanted)
    return Review(accounts, others, desk.report, new.on, against)


def _around(new: Edition, old: Edition | None, comparison: Comparison) -> frozenset[str]:
    """Give the files that a change reaches.

    They are those that differ, procedures that follow a block that does, and procedures for vehicles of one that does. What
    settings, facts, sources or accepted results say concerns every file.
    """
    editions = [new, *((old,) if old is not None else ())]
    if any(change.kind not in STEPS for change in comparison.changes):
        return frozenset(study.file for edition in editions for study in edition.studies)
    reached = {name for change in comparison.changes for name in change.reaches}
    differing = {name for change in comparison.changes for name in (change.old, change.new) if name}
    found = {flow.at.file for flow in new.flows if flow.id in reached}
    for edition in editions:
        for flow in (each for each in edition.flows if each.at.file in differing):
            found.update(each.at.file for each in overlapping(flow, edition.flows, edition.catalogue))
    return frozenset(found | differing)


def _change_of(study: FileStudy, changes: dict[str, FileChange], old: Edition | None) -> FileChange | None:
    if study.file in changes or old is None:
        return changes.get(study.file)
    return FileChange(study.kind, study.flow.id if study.flow is not None else "", study.file, study.file, ())


def _examined(
    now: tuple[Edition, frozenset[str]], before: tuple[Edition, frozenset[str]] | None, rules: tuple[Rule, ...], against: str
) -> Report:
    """Examine some files of an edition, and of the one before; the others are there to be followed."""
    inputs, on = _shown(*now), now[0].on
    if before is None:
        return examine(inputs, standard(), rules, on=on)
    return examine_since(Versions(inputs, _shown(*before), against), standard(), rules, on=on)


def _shown(edition: Edition, files: frozenset[str]) -> tuple[Input, ...]:
    return tuple(each._replace(is_context=each.name not in files) for each in edition.inputs)
