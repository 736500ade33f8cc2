"""A report for the terminal: what happens at the vehicle first, rule names last."""

import textwrap
from collections import Counter
from collections.abc import Iterator

from proclint.engine import Report, Reported, place_of
from proclint.render.plain import harmless, shortened, without_commands
from proclint.results import Kind, Level, Passed, State
from proclint.source import Place

FULL = 5
_WIDTH = 100
_INDENT = "         "
_LONGEST_WAY = 12
_COLOURS = {"error": "31;1", "warning": "33;1", "note": "36;1", "open": "35;1"}
CLOSING = "A clean result is not a field test: the check knows what is written, not the vehicle."


def text_report(report: Report, *, in_colour: bool, is_whole: bool) -> str:
    """Render a report; `is_whole` shows every result in full and not only the first five."""
    results = [each for each in report.results if each.counts]
    full = results if is_whole else results[:FULL]
    parts = ["\n".join(_in_full(report, each, in_colour=in_colour)) for each in full]
    rest = results[len(full) :]
    if rest:
        parts.append(
            "\n".join([f"{len(rest)} more, in short (--all shows them in full):", *(_in_short(report, each) for each in rest)])
        )
    parts.append("\n".join(_closing(report)))
    return without_commands("\n\n".join(parts) + "\n")


def plain_result(report: Report, each: Reported) -> str:
    """Render one result without colours."""
    return without_commands("\n".join(_in_full(report, each, in_colour=False)))


def _in_full(report: Report, each: Reported, *, in_colour: bool) -> Iterator[str]:
    result = each.result
    word = "open" if result.kind is Kind.OPEN else each.level.value
    shown = f"\x1b[{_COLOURS[word]}m{word:<8}\x1b[0m" if in_colour else f"{word:<8}"
    yield f"{shown} {harmless(result.message)}"
    yield f"{_INDENT}{_where(report, result.at)}{_words_at(report, result.at)}"
    if result.trace:
        yield from _labelled("way", _way(result.trace))
    if result.why:
        yield from _labelled("why", result.why)
    for note in result.notes:
        yield from _labelled("see", f"{_where(report, note.at)} {note.message}")
    if each.also:
        yield from _labelled("also", f"{len(each.also)} more from this cause")
    if each.reaches:
        yield from _labelled("reaches", ", ".join(each.reaches))
    if result.change:
        yield from _labelled("change", result.change)
    yield from _labelled("rule", each.rule.id + (f": {result.subject}" if result.subject else ""))


def _labelled(label: str, text: str) -> Iterator[str]:
    lines = textwrap.wrap(harmless(text), _WIDTH - len(_INDENT) - 8, break_on_hyphens=False, break_long_words=False)
    for index, line in enumerate(lines):
        yield f"{_INDENT}{label if index == 0 else '':<8}{line}"


def _where(report: Report, at: Place) -> str:
    line, column = place_of(report, at)
    return f"{harmless(at.file)}:{line}:{column}:"


def _words_at(report: Report, at: Place) -> str:
    text = report.texts.get(at.file)
    if text is None or not text.text:
        return ""
    return " " + shortened(harmless(text.line(place_of(report, at)[0]).strip()), 70)


def _way(trace: tuple[Passed, ...]) -> str:
    stops = [f"{stop.step} ({stop.outcome})" if stop.outcome not in ("", "done") else stop.step for stop in trace]
    if len(stops) > _LONGEST_WAY:
        half = _LONGEST_WAY // 2
        stops = [*stops[:half], f"({len(stops) - 2 * half} more)", *stops[-half:]]
    return ", ".join(stops)


def _in_short(report: Report, each: Reported) -> str:
    word = "open" if each.result.kind is Kind.OPEN else each.level.value
    return f"{_where(report, each.result.at)} {word}: {harmless(each.result.message)} [{each.rule.id}]"


def _closing(report: Report) -> Iterator[str]:
    for fault in report.own_faults:
        yield f"fault of proclint: the rule {fault.rule} broke down on {harmless(fault.file)} ({harmless(fault.error)})."
    for part in report.not_checked:
        yield f"not checked: {harmless(part.file)}: {harmless(part.why)}."
    counts = ", ".join(_count(report.count(level), level) for level in Level)
    if report.undecided:
        counts += f", {report.undecided} undecided"
    files = harmless(report.files[0]) if len(report.files) == 1 else f"{len(report.files)} files"
    if report.since is not None:
        yield f"since {harmless(report.since.revision)}: {states(report)}."
    yield f"checked: {files} by {len(report.rules)} rules: {counts}; accepted: {len(report.accepted)}."
    yield CLOSING


def states(report: Report) -> str:
    """Say how many results are new, were there before, differ and are gone."""
    found = Counter(each.state for each in (*report.results, *report.accepted))
    gone = len(report.since.absent) if report.since is not None else 0
    kept = (f"{found[state]} {state.value}" for state in (State.NEW, State.UNCHANGED, State.UPDATED))
    return ", ".join((*kept, f"{gone} gone"))


def _count(number: int, level: Level) -> str:
    return f"{number} {level.value}{'' if number == 1 else 's'}"
