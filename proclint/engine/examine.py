"""Select rules, run them, fold, accept, sort: from files' bytes to a report. Pure: the day is an argument."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import NamedTuple

from proclint.analysis import Study
from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import Extract, extract_of, reached_by
from proclint.catalogue import Catalogue
from proclint.engine.accepting import acceptances_in, sift
from proclint.engine.fingerprint import distinct
from proclint.engine.fold import fold
from proclint.engine.inputs import Input
from proclint.engine.laying import Bench, Laid, lay_out, reader
from proclint.engine.report import NotChecked, OwnFault, Report, Reported
from proclint.engine.running import Run
from proclint.engine.whole import Bar, judged, judged_last, library_study
from proclint.model import Block
from proclint.rule import Rule, Scope
from proclint.source import Place


class Examination(NamedTuple):
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
    run = Run(bench, study)
    run.rules(_rules_of(Scope.FILE, bench), study)
    if study.flow is not None and study.is_sound:
        given = Study(study.flow, bench.shelf, bench.on, bench.limits)
        run.rules(_rules_of(Scope.FLOW, bench), study.flow, given)
        if not isinstance(study.flow, Block):
            run.rules(_rules_of(Scope.PROCEDURE, bench), study.flow, given)
    extract = extract_of(study.flow, bench.shelf.blocks) if study.flow is not None else None
    return Examination(fold(run.results), extract, tuple(run.own_faults), tuple(_left_out(study)))


def _rules_of(scope: Scope, bench: Bench) -> Iterable[Rule]:
    return (rule for rule in bench.rules if rule.scope is scope)


def _left_out(study: FileStudy) -> Iterable[NotChecked]:
    if study.has_steps and not study.is_sound:
        is_read = study.document is not None
        why = "its steps, because of what is wrong with its form" if is_read else "all of it, because it cannot be read"
        yield NotChecked(study.file, why)


def examine_library(laid: Laid, found: Iterable[Examination], bar: Bar | None = None) -> Report:
    """Put the checks of single files together, run the rules on all of them, accept and sort: the reduce."""
    found = tuple(found)
    extracts = tuple(each.extract for each in found if each.extract is not None)
    bar = bar or Bar(acceptances_in(laid.studies))
    own = sift(distinct(fold(reported for each in found for reported in each.results)), bar.acceptances, laid)
    library = library_study(laid, extracts, bar)
    whole = judged(library, laid, bar.acceptances)
    in_vain = tuple(each for each in bar.acceptances if each not in own.met | whole.sifted.met)
    last = judged_last(replace(library, in_vain=in_vain), laid)
    # Whatever is asked for, the bar is: it may stand in a file that is only there to be followed, or not at all any more.
    shown = laid.shown.union(each.at.file for each in bar.lowered)
    left = fold(each for some in (whole, last) for each in some.sifted.left if each.result.at.file in shown)
    accepted = (*own.accepted, *(each for each in whole.sifted.accepted if each.result.at.file in shown))
    reach = reached_by(extracts)
    results = [each._replace(reaches=reach.get(each.owner, ())) for each in (*own.left, *left)]
    own_faults = (fault for each in found for fault in each.own_faults)
    return Report(
        results=tuple(sorted(results, key=lambda each: each.order)),
        accepted=tuple(sorted(accepted, key=lambda each: each.order)),
        not_checked=tuple(note for each in found for note in each.not_checked),
        own_faults=(*own_faults, *whole.own_faults, *last.own_faults),
        files=tuple(study.file for study in laid.studies if study.file in laid.shown),
        rules=laid.bench.rules,
        failing_level=laid.bench.settings.failing_level,
        texts={study.file: study.text for study in laid.studies},
    )


def place_of(report: Report, at: Place) -> tuple[int, int]:
    """Give line and column of a place, both from 1."""
    text = report.texts.get(at.file)
    return text.line_column(at.start) if text is not None else (1, 1)
