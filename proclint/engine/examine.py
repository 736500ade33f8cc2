"""Select rules, run them, fold, accept, sort: from files' bytes to a report. Pure: the day is an argument."""

import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from proclint.analysis import Limits as AnalysisLimits
from proclint.analysis import Shelf, Study
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import FileStudy, study_file
from proclint.analysis.library import Extract, LibraryStudy, extract_of, reached_by
from proclint.catalogue import Catalogue
from proclint.engine.fingerprint import distinct, fingerprint
from proclint.engine.fold import fold
from proclint.engine.inputs import Input
from proclint.engine.own_words import with_own_words
from proclint.engine.report import NotChecked, OwnFault, Report, Reported
from proclint.model import Acceptance, Block, fields, read_acceptances
from proclint.rule import Rule, Scope
from proclint.settings import Settings, UsageProblem, read_settings
from proclint.source import Place


@dataclass(frozen=True, slots=True)
class Bench:
    """What every file is checked against."""

    shelf: Shelf
    rules: tuple[Rule, ...]
    settings: Settings
    on: str
    limits: AnalysisLimits = field(default_factory=AnalysisLimits)


@dataclass(frozen=True, slots=True)
class Examination:
    """What the check of one file gives."""

    results: tuple[Reported, ...] = ()
    extract: Extract | None = None
    own_faults: tuple[OwnFault, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()


def examine(
    inputs: Iterable[Input],
    catalogue: Catalogue,
    rules: tuple[Rule, ...],
    *,
    on: str,
    progress: Callable[[str], None] = lambda _: None,
) -> Report:
    """Check files together.

    Raises UsageProblem for a `library.yaml` that names a rule that does not exist or adds a word that clashes.
    """
    given = tuple(inputs)
    catalogue = with_own_words(given, catalogue, on)
    studies = []
    shown = set()
    for each in given:
        studies.append(study_file(each.name, each.content, each.kind, catalogue, on=on))
        if not each.is_context:
            shown.add(each.name)
        progress(each.name)
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    settings = _settings(studies, frozenset(rule.id for rule in rules))
    broken = frozenset(study.block for study in studies if study.flow is None and study.block)
    tables = [study.table for study in studies if study.table is not None]
    bench = Bench(Shelf(blocks, catalogue, broken, facts_in(tables, catalogue.attributes)), rules, settings, on)
    found = []
    for study in studies:
        found.append(examine_file(study, bench) if study.file in shown else _context(study))
        progress(study.file)
    return examine_library(studies, found, bench, shown)


def _settings(studies: Iterable[FileStudy], known: frozenset[str]) -> Settings:
    for study in studies:
        if study.kind == "library" and study.is_sound and study.document is not None:
            return read_settings(study.document, known)
    return Settings()


def _context(study: FileStudy) -> Examination:
    # Its results are not asked for; that its steps could not be looked at concerns whoever follows it.
    extract = extract_of(study.flow) if study.flow is not None else None
    return Examination(extract=extract, not_checked=tuple(_left_out(study)))


def examine_file(study: FileStudy, bench: Bench) -> Examination:
    """Check one file by itself: the map of the check, one call a file, in any order or place."""
    run = _Run(study, bench)
    run.rules(Scope.FILE, study)
    if study.flow is not None and study.is_sound:
        given = Study(study.flow, bench.shelf, bench.on, bench.limits)
        run.rules(Scope.FLOW, study.flow, given)
        if not isinstance(study.flow, Block):
            run.rules(Scope.PROCEDURE, study.flow, given)
    extract = extract_of(study.flow) if study.flow is not None else None
    return Examination(fold(run.results), extract, tuple(run.own_faults), tuple(_left_out(study)))


def _left_out(study: FileStudy) -> Iterable[NotChecked]:
    if study.kind in ("procedure", "block", "steps") and not study.is_sound:
        is_read = study.document is not None
        why = "its steps, because of what is wrong with its form" if is_read else "all of it, because it cannot be read"
        yield NotChecked(study.file, why)


def examine_library(studies: list[FileStudy], found: list[Examination], bench: Bench, shown: set[str]) -> Report:
    """Put the checks of single files together, run the rules on all of them, accept and sort: the reduce."""
    extracts = tuple(each.extract for each in found if each.extract is not None)
    acceptances = _acceptances(studies)
    results = distinct(fold(reported for each in found for reported in each.results))
    results, accepted, in_vain = _accept(results, acceptances, bench.on)
    never = frozenset(rule.id for rule in bench.rules if rule.never_accepted)
    whole = LibraryStudy(extracts, _sources(studies), acceptances, in_vain, never, bench.on)
    run = _Run(None, bench)
    run.rules(Scope.LIBRARY, whole)
    results += distinct(fold(result for result in run.results if result.result.at.file in shown))
    reach = reached_by(extracts)
    results = [replace(each, reaches=reach.get(each.owner, ())) for each in results]
    return Report(
        results=tuple(sorted(results, key=lambda each: each.order)),
        accepted=tuple(sorted(accepted, key=lambda each: each.order)),
        not_checked=tuple(note for each in found for note in each.not_checked),
        own_faults=tuple(fault for each in found for fault in each.own_faults) + tuple(run.own_faults),
        files=tuple(study.file for study in studies if study.file in shown),
        rules=bench.rules,
        failing_level=bench.settings.failing_level,
        texts={study.file: study.text for study in studies},
    )


def _acceptances(studies: Iterable[FileStudy]) -> tuple[Acceptance, ...]:
    found: tuple[Acceptance, ...] = ()
    for study in studies:
        if study.kind == "accepted" and study.is_sound and study.document is not None:
            found += read_acceptances(study.document)
    return found


def _sources(studies: Iterable[FileStudy]) -> frozenset[str] | None:
    for study in studies:
        if study.kind == "sources" and study.document is not None:
            return frozenset(fields.text_of(place.node, "id") for place in fields.items_of(study.document.at / "sources"))
    return None


def _accept(
    results: list[Reported], acceptances: tuple[Acceptance, ...], on: str
) -> tuple[list[Reported], list[Reported], tuple[Acceptance, ...]]:
    """Set apart what a person accepted; give what is left, what is accepted, and the acceptances that met nothing."""
    left, accepted, met = [], [], set()
    for each in results:
        taken = _acceptance_of(each, acceptances, on)
        if taken is None:
            left.append(each)
        else:
            met.add(taken)
            accepted.append(replace(each, acceptance=taken))
    return left, accepted, tuple(each for each in acceptances if each not in met)


def _acceptance_of(each: Reported, acceptances: tuple[Acceptance, ...], on: str) -> Acceptance | None:
    if each.rule.never_accepted:
        return None
    for acceptance in acceptances:
        if acceptance.meets(each.rule.id, each.result.subject, each.owner, each.result.at.path) and acceptance.until >= on:
            return acceptance
    return None


@dataclass(slots=True)
class _Run:
    """Runs rules on one file, or on the library where there is no study."""

    study: FileStudy | None
    bench: Bench
    results: list[Reported] = field(default_factory=list)
    own_faults: list[OwnFault] = field(default_factory=list)

    def rules(self, scope: Scope, *given: object) -> None:
        levels = self.bench.settings.levels
        for rule in self.bench.rules:
            if rule.scope is scope and levels.get(rule.id, rule.level) is not None:
                self.rule(rule, given)

    def rule(self, rule: Rule, given: tuple[object, ...]) -> None:
        study = self.study
        owner = study.flow.id if study is not None and study.flow is not None else ""
        root = study.document.root if study is not None and study.document is not None else None
        try:
            for result in rule.check(*given):
                level = self.bench.settings.levels.get(rule.id) or result.level or rule.level
                mark = fingerprint(rule.id, result.subject, owner, result.at, root)
                self.results.append(Reported(rule, level, result, mark, owner))
        except UsageProblem:
            raise
        except Exception as error:  # noqa: BLE001
            last = traceback.extract_tb(error.__traceback__)[-1]
            said = f"{type(error).__name__}: {error} ({last.name}, line {last.lineno})"
            self.own_faults.append(OwnFault(rule.id, study.file if study else "", said))


def place_of(report: Report, at: Place) -> tuple[int, int]:
    """Give line and column of a place, both from 1."""
    text = report.texts.get(at.file)
    return text.line_column(at.start) if text is not None else (1, 1)
