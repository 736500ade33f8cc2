"""Select rules, run them, fold, accept, sort: from files' bytes to a report. Pure: the day is an argument."""

import traceback
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from proclint.analysis import Study
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import Extract, LibraryStudy, Lowered, extract_of, reached_by
from proclint.catalogue import Catalogue
from proclint.engine.fingerprint import distinct, fingerprint
from proclint.engine.fold import fold
from proclint.engine.inputs import Input
from proclint.engine.laying import Bench, Laid, lay_out, reader
from proclint.engine.report import NotChecked, OwnFault, Report, Reported
from proclint.model import Acceptance, Block, fields, kinds_of_source, read_acceptances, read_sources
from proclint.rule import Rule, Scope
from proclint.settings import UsageProblem
from proclint.source import Place


@dataclass(frozen=True, slots=True)
class Bar:
    """What files are held to where it is not what they say themselves: the acceptances that are taken, and what is lowered."""

    acceptances: tuple[Acceptance, ...]
    lowered: tuple[Lowered, ...] = ()


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
    laid = lay_out(tuple(inputs), catalogue, rules, on=on, read=reader(on, progress))
    found = []
    for study in laid.studies:
        found.append(examined(study, laid))
        progress(study.file)
    return examine_library(laid, found)


def examined(study: FileStudy, laid: Laid) -> Examination:
    """Check one of the files laid out, or take what others need of one that is only there to be followed."""
    return examine_file(study, laid.bench) if study.file in laid.shown else _context(study, laid.bench)


def _context(study: FileStudy, bench: Bench) -> Examination:
    # Its results are not asked for; that its steps could not be looked at concerns whoever follows it.
    extract = extract_of(study.flow, bench.shelf.blocks) if study.flow is not None else None
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
    extract = extract_of(study.flow, bench.shelf.blocks) if study.flow is not None else None
    return Examination(fold(run.results), extract, tuple(run.own_faults), tuple(_left_out(study)))


def _left_out(study: FileStudy) -> Iterable[NotChecked]:
    if study.kind in ("procedure", "block", "steps") and not study.is_sound:
        is_read = study.document is not None
        why = "its steps, because of what is wrong with its form" if is_read else "all of it, because it cannot be read"
        yield NotChecked(study.file, why)


def examine_library(laid: Laid, found: Iterable[Examination], bar: Bar | None = None) -> Report:
    """Put the checks of single files together, run the rules on all of them, accept and sort: the reduce."""
    bench, found = laid.bench, tuple(found)
    extracts = tuple(each.extract for each in found if each.extract is not None)
    written = acceptances_in(laid.studies)
    bar = bar or Bar(written)
    results = distinct(fold(reported for each in found for reported in each.results))
    results, accepted, in_vain = _accept(results, bar.acceptances, bench.on)
    never = frozenset(rule.id for rule in bench.rules if rule.never_accepted)
    evidence = evidence_of(laid.studies, bench)
    sources = _sources(laid.studies)
    whole = LibraryStudy(extracts, sources, written, in_vain, never, bench.on, evidence, bar.lowered)
    run = _Run(None, bench)
    run.rules(Scope.LIBRARY, whole)
    # Whatever is asked for, the bar is: it may stand in a file that is only there to be followed, or not at all any more.
    shown = laid.shown.union(each.at.file for each in bar.lowered)
    results += distinct(fold(result for result in run.results if result.result.at.file in shown))
    reach = reached_by(extracts)
    results = [replace(each, reaches=reach.get(each.owner, ())) for each in results]
    return Report(
        results=tuple(sorted(results, key=lambda each: each.order)),
        accepted=tuple(sorted(accepted, key=lambda each: each.order)),
        not_checked=tuple(note for each in found for note in each.not_checked),
        own_faults=tuple(fault for each in found for fault in each.own_faults) + tuple(run.own_faults),
        files=tuple(study.file for study in laid.studies if study.file in laid.shown),
        rules=bench.rules,
        failing_level=bench.settings.failing_level,
        texts={study.file: study.text for study in laid.studies},
    )


def acceptances_in(studies: Iterable[FileStudy]) -> tuple[Acceptance, ...]:
    """Give the accepted results that files hold; one that is wrong by itself sets none of the others aside."""
    found: tuple[Acceptance, ...] = ()
    for study in studies:
        if study.kind == "accepted" and not study.troubles and study.document is not None:
            wrong = {fault.at.path[:1] for fault in study.faults}
            # What is wrong with the list itself is wrong with all of it.
            kept = () if () in wrong else read_acceptances(study.document)
            found += tuple(each for each in kept if each.at.path not in wrong)
    return found


def _sources(studies: Iterable[FileStudy]) -> frozenset[str] | None:
    for study in studies:
        if study.kind == "sources" and study.document is not None:
            return frozenset(fields.text_of(place.node, "id") for place in fields.items_of(study.document.at / "sources"))
    return None


def evidence_of(studies: Iterable[FileStudy], bench: Bench) -> Evidence:
    """Give what tables and the register say together, as far as they can be read."""
    given = tuple(studies)
    tables = tuple(study.table for study in given if study.table is not None)
    registers = (study.document for study in given if study.kind == "sources" and study.is_sound)
    entries = tuple(entry for document in registers if document is not None for entry in read_sources(document))
    return Evidence(tables, entries, bench.settings.trust or kinds_of_source(), bench.shelf.catalogue.attributes)


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
