"""A review: an account of each file that a contribution changes, and what it changes in files that hold no steps."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from proclint.analysis.file_study import FileStudy
from proclint.catalogue import standard
from proclint.compare import Comparison, FileChange, compare_libraries, in_order
from proclint.compare.difference import Difference
from proclint.engine import Input, Report, examine
from proclint.review.account import Account, Desk
from proclint.review.edition import Edition
from proclint.rule import Rule

_STEPS = frozenset({"procedure", "block", "steps"})


@dataclass(frozen=True, slots=True)
class Review:
    """The accounts by file name, other changes of meaning, and the report on what was accounted for.

    `against` is what it was held against, empty where that is nothing.
    """

    accounts: tuple[Account, ...]
    others: tuple[FileChange, ...]
    report: Report
    on: str
    against: str = ""

    @property
    def differences(self) -> tuple[Difference, ...]:
        """All differences in meaning, the most dangerous first."""
        given = (*(each.change for each in self.accounts if each.change is not None), *self.others)
        return in_order(difference for change in given for difference in change.differences)


def review(new: Edition, old: Edition | None, rules: tuple[Rule, ...], files: Iterable[str], *, against: str = "") -> Review:
    """Review files of a library by name or, where none is named, those that differ in meaning from the old edition."""
    comparison = compare_libraries(old.studies, new.studies, new.catalogue) if old is not None else Comparison(())
    changes = {change.new: change for change in comparison.changes if change.new}
    wanted = frozenset(files) or frozenset(name for name, change in changes.items() if change.kind in _STEPS)
    chosen = [study for study in new.studies if study.file in wanted]
    report = _examined(new, {study.file for study in chosen}, rules)
    desk = Desk(new, report)
    if old is not None:
        before = {changes[name].old if name in changes else name for name in wanted}
        desk = Desk(new, report, old, _examined(old, before, rules))
    accounts = tuple(desk.account(study, _change_of(study, changes, old)) for study in chosen)
    others = tuple(change for change in comparison.changes if change.new not in wanted)
    return Review(accounts, others, report, new.on, against)


def _change_of(study: FileStudy, changes: dict[str, FileChange], old: Edition | None) -> FileChange | None:
    if study.file in changes or old is None:
        return changes.get(study.file)
    return FileChange(study.kind, study.flow.id if study.flow is not None else "", study.file, study.file, ())


def _examined(edition: Edition, files: set[str], rules: tuple[Rule, ...]) -> Report:
    """Examine some files of an edition; the others are there to be followed."""
    inputs = [_shown(each, is_shown=each.name in files) for each in edition.inputs]
    return examine(inputs, standard(), rules, on=edition.on)


def _shown(each: Input, *, is_shown: bool) -> Input:
    return replace(each, is_context=not is_shown)
