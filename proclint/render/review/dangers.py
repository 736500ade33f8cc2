"""Results by danger, and which hazard arises where and what answers it."""

from collections.abc import Iterable, Iterator

from proclint.analysis.account.hazards import Arising, HazardRow, Warned
from proclint.engine import Report, Reported, place_of
from proclint.render.plain import shortened
from proclint.render.review.leaf import Finding, Findings, Grid, Items, Part, Prose, Section
from proclint.render.review.words import chips_of, of_names
from proclint.results import Kind, Level, State
from proclint.review import Account
from proclint.source import Place
from proclint.telling import counted

_MARKS = {Warned.ALWAYS: "●", Warned.SOMETIMES: "◐", Warned.NEVER: "○", Warned.UNDECIDED: "?"}
_STATES: dict[State | None, str] = {State.NEW: ", new", State.UPDATED: ", changed", State.UNCHANGED: ", as before"}
_NOWHERE = "nowhere"
_LEGEND = "● the caution is read on every way there, ◐ on some ways, ○ on none, ? not decided."


def section_of_results(account: Account, report: Report) -> Section:
    """Give the results by danger, then what went and what is accepted."""
    found = tuple(_finding(each, report) for each in account.results)
    parts: list[Part] = [Findings(found)] if found else [Prose("Nothing was found.")]
    if account.gone:
        parts += [
            Prose("Gone with this version:"),
            Items(tuple(f"{each.result.message} ({each.rule.id})" for each in account.gone)),
        ]
    if account.accepted:
        parts += [Prose("Accepted, each until the day it names:"), Items(tuple(_accepted(each) for each in account.accepted))]
    return Section("Results", counts_of(account.results), tuple(parts))


def section_of_results_around(results: tuple[Reported, ...], report: Report) -> Section | None:
    """Give the results in files without an account of their own; nothing where there are none."""
    if not results:
        return None
    return Section("Results in other files", counts_of(results), (Findings(tuple(_finding(each, report) for each in results)),))


def counts_of(results: Iterable[Reported]) -> str:
    """Say how many results of each level there are."""
    levels = [word_of(each) for each in results]
    said = [counted(levels.count(level), level, f"{level}s") for level in Level]
    undecided = levels.count("open")
    return ", ".join([*said, f"{undecided} open"] if undecided else said)


def word_of(each: Reported) -> str:
    """Give the word for how grave a result is."""
    return "open" if each.result.kind is Kind.OPEN else each.level.value


def _finding(each: Reported, report: Report) -> Finding:
    result = each.result
    level = word_of(each) + _STATES.get(each.state, "")
    return Finding(
        level,
        result.message,
        _where(report, result.at),
        _words(report, result.at),
        chips_of(result.trace),
        tuple(_said(each, report)),
    )


def _said(each: Reported, report: Report) -> Iterator[tuple[str, str]]:
    result = each.result
    if result.why:
        yield "why", result.why
    for note in result.notes:
        yield "see", f"{_where(report, note.at)} {note.message}"
    if each.also:
        files = sorted({other.at.file for other in each.also} - {result.at.file})
        where = f", in {', '.join(files)}" if files else ""
        yield "also", f"{len(each.also)} more from this cause{where}"
    if each.reaches:
        yield "reaches", ", ".join(each.reaches)
    if result.change:
        yield "change", result.change
    yield "rule", each.rule.id + (f": {result.subject}" if result.subject else "")


def _where(report: Report, at: Place) -> str:
    line, column = place_of(report, at)
    return f"{at.file}:{line}:{column}"


def _words(report: Report, at: Place) -> str:
    text = report.texts.get(at.file)
    return shortened(text.line(place_of(report, at)[0]).strip(), 100) if text is not None and text.text else ""


def _accepted(each: Reported) -> str:
    taken = each.acceptance
    said = f"{each.result.message} ({each.rule.id})"
    return f"{said} Until {taken.until} by {taken.by}: {taken.because}" if taken is not None else said


def section_of_cautions(account: Account) -> Section | None:
    """Give the hazards with where they arise and what answers them; nothing where there are no steps."""
    if account.inside is None:
        return None
    rows = tuple(map(_row, account.inside.hazards))
    own = tuple(
        (f"{each.name} (the file's own)", each.signal.upper(), each.hazard, of_names(shown, none=_NOWHERE))
        for each, shown in account.inside.own_cautions
    )
    if not rows and not own:
        return Section("Cautions", "no hazard arises", (Prose("No hazard of the catalogue arises on any way."),))
    unanswered = sum(not each.is_answered for each in account.inside.hazards)
    short = f"{counted(len(rows), 'hazard arises', 'hazards arise')}, {unanswered} not answered on every way"
    head = ("hazard", "signal word", "where it arises", "caution shown at")
    return Section("Cautions", short, (Grid("Hazards and what answers them", head, (*rows, *own)), Prose(_LEGEND)))


def _row(row: HazardRow) -> tuple[str, ...]:
    return row.hazard.name, row.hazard.signal, _arising(row.arises), of_names(row.shown_at, none=_NOWHERE)


def _arising(arises: Iterable[Arising]) -> str:
    """Say the steps at which a hazard arises, each once with the gravest mark and what is done there."""
    by_step: dict[tuple[Warned, str], list[str]] = {}
    for each in arises:
        by_step.setdefault((each.warned, each.text), []).append(each.step)
    return "; ".join(f"{_MARKS[warned]} {', '.join(dict.fromkeys(steps))}: {text}" for (warned, text), steps in by_step.items())
