"""What was not checked of a file, and why: never silent."""

from collections.abc import Iterable, Iterator

from proclint.analysis import Study
from proclint.analysis.account.endings import Ending
from proclint.analysis.account.neighbours import Neighbours
from proclint.engine import Report, Reported
from proclint.results import Kind


def unchecked_in(file: str, report: Report, results: Iterable[Reported]) -> Iterator[str]:
    """Say what the check itself left out."""
    for note in report.not_checked:
        if note.file == file:
            yield f"Not checked: {note.why}."
    for fault in report.own_faults:
        if fault.file in ("", file):
            yield f"The rule '{fault.rule}' broke down, which is a fault of proclint: {fault.error}."
    open_ = [each for each in results if each.result.kind is Kind.OPEN]
    if open_:
        yield f"Not decided: {', '.join(dict.fromkeys(each.rule.id for each in open_))}; see the results marked open."


def unchecked_of(study: Study, endings: Iterable[Ending], neighbours: Neighbours) -> Iterator[str]:
    """Say what the model does not know of a procedure or block."""
    free = [line.text.removeprefix("act ") for step in study.flow.steps.values() for line in step.lines if line.verb == "act"]
    if free:
        yield f"Work that the model does not know, taken as without effect: {_quoted(free)}."
    asked = [step.ask for step in study.flow.steps.values() if step.ask]
    if asked:
        yield f"Questions that only a person can answer, each answer taken as possible: {_quoted(asked)}."
    for each in endings:
        if each.limit:
            yield f"The way to '{each.end.name}' was not found within the limit '{each.limit}'."
        for name in each.undecided:
            yield f"Whether '{name}' is left open at '{each.end.name}' was not decided."
        if each.time is not None and each.time.limit is not None:
            limit = each.time.limit
            yield f"The longest time to '{each.end.name}' was not found within the limit '{limit.limit}' of {limit.number}."
    if neighbours.contested:
        names = ", ".join(each.attribute.name for each in neighbours.contested)
        yield f"The facts tables say several things of these vehicles, and none was taken as true: {names}."
    if study.outline is None:
        yield "States, cautions and proof, as a block is missing, in a ring or too large."


def _quoted(texts: Iterable[str]) -> str:
    return ", ".join(f"'{text}'" for text in dict.fromkeys(texts))
