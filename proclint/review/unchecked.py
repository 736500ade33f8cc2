"""What was not checked of a file, and why: never silent."""

from collections.abc import Iterable, Iterator

from proclint.analysis import Study
from proclint.analysis.account.endings import Ending
from proclint.analysis.account.neighbours import Neighbours
from proclint.analysis.time.stn import Open
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
    for each in results:
        if each.result.kind is Kind.OPEN:
            yield f"Not decided: {each.result.message}"


def unchecked_of(study: Study, endings: tuple[Ending, ...], neighbours: Neighbours) -> Iterator[str]:
    """Say what the model does not know of a procedure or block."""
    free = [line.text.removeprefix("act ") for step in study.flow.steps.values() for line in step.lines if line.verb == "act"]
    if free:
        yield f"Work that the model does not know, taken as without effect: {_quoted(free)}."
    asked = [step.ask for step in study.flow.steps.values() if step.ask]
    if asked:
        yield f"Questions that only a person can answer, each answer taken as possible: {_quoted(asked)}."
    for limit in dict.fromkeys(each.limit for each in endings if each.limit):
        names = _quoted(each.end.name for each in endings if each.limit == limit)
        yield f"A way to {names}: the search met the limit '{limit}'."
    for each in endings:
        for name in each.undecided:
            yield f"Whether '{name}' is left open at '{each.end.name}' was not decided."
    yield from _untimed(endings)
    yield from _facts(study, neighbours)
    if study.outline is None:
        yield "States, cautions and proof, as a block is missing, in a ring or too large."


def _untimed(endings: Iterable[Ending]) -> Iterator[str]:
    """Say to which endings the longest time is not known, those with one reason together."""
    by_limit: dict[Open, list[str]] = {}
    for each in endings:
        if each.time is not None and each.time.limit is not None:
            by_limit.setdefault(each.time.limit, []).append(each.end.name)
    for limit, names in by_limit.items():
        met = f"met the limit '{limit.limit}' of {limit.number}" if limit.number else f"there are {limit.limit}"
        yield f"The longest time to {_quoted(names)}: {met}."


def _facts(study: Study, neighbours: Neighbours) -> Iterator[str]:
    """Say what facts tables leave open of the vehicles."""
    if neighbours.untold:
        yield f"What no facts table speaks of: {'; '.join(neighbours.untold)}."
    if neighbours.unknown:
        yield f"What a source says that nobody knows of these vehicles: {', '.join(neighbours.unknown)}."
    attributes = study.catalogue.attributes
    several = [name for name, texts in study.shelf.facts_of(study.flow) if len(texts) > 1 and attributes[name].type != "text"]
    if several:
        yield f"Facts with several values for these vehicles; states and times were worked out with none: {', '.join(several)}."


def _quoted(texts: Iterable[str]) -> str:
    return ", ".join(f"'{text}'" for text in dict.fromkeys(texts))
