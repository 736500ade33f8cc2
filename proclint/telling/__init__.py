"""What the analyses found, put into the words of results."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from proclint.analysis import Edge, Node, StepGraph, stops
from proclint.results import Level, Note, Passed, Result

if TYPE_CHECKING:
    from proclint.analysis.states.findings import Finding, Leg


def told(graph: StepGraph, way: tuple[Edge, ...]) -> tuple[Passed, ...]:
    """Give a way as the stops of a code flow: each step of the file with the outcome by which it is left.

    A block that is followed is one stop, left by the exit that was taken.
    """
    shown: list[Passed] = []
    for node, outcome in stops(graph, way):
        if node.is_own:
            shown.append(_passed(node, outcome))
        elif shown and len(node.calls) == 1 and node.end is not None and node.calls[0] == shown[-1].step:
            shown[-1] = shown[-1]._replace(outcome=outcome)
    return tuple(shown)


def _passed(node: Node, outcome: str) -> Passed:
    words = node.step.words if node.step is not None else ""
    return Passed(node.at, node.name, outcome, words)


def quoted(names: Iterable[str], last: str = "and") -> str:
    """Join names in single quotes: `'a'`, `'a' and 'b'`, `'a', 'b' and 'c'`."""
    shown = [f"'{name}'" for name in names]
    if len(shown) < 2:
        return "".join(shown)
    return f"{', '.join(shown[:-1])} {last} {shown[-1]}"


def counted(number: int, one: str, many: str) -> str:
    """Give a number with its noun."""
    return f"{number} {one if number == 1 else many}"


def broken(finding: "Finding", message: str, *, change: str, level: Level | None = None) -> Result:
    """Give the result for something that does not hold on a way: the state there, and the shortest way to it.

    What is found inside a block is told where the file follows it, and folds under the place in the block.
    """
    own, at = finding.station.own, finding.at
    return Result(
        message,
        at=at if finding.is_own else own.at,
        change=change,
        why=_why(finding),
        subject=finding.demand.subject,
        level=level,
        notes=() if finding.is_own else (Note(at, f"It is here, in the block that '{own.name}' follows."),),
        trace=stops_of(finding.way),
        because=None if finding.is_own else at,
    )


def cannot(finding: "Finding") -> str:
    """Say that a line cannot be done, or may not be, as in `'remove O1' cannot be done: 'ignition' is on`."""
    demand = finding.demand
    if not demand.good:
        return f"'{demand.text}' cannot be done as things are then."
    if finding.grade == "must":
        return f"'{demand.text}' cannot be done: {in_words(demand.variable)} is {listed(finding.found)}."
    return f"'{demand.text}' may be impossible: {in_words(demand.variable)} may not be {listed(demand.good)}."


def comes_while(finding: "Finding") -> str:
    """Say how things are, or may be, when a line comes too early, as in `'learn N1' comes while 'cylinder' is O1`."""
    demand = finding.demand
    if finding.grade == "must":
        return f"'{demand.text}' comes while {in_words(demand.variable)} is {listed(finding.found)}."
    return f"'{demand.text}' may come while {in_words(demand.variable)} is not {listed(demand.good)}."


def _why(finding: "Finding") -> str:
    demand = finding.demand
    if not demand.good:
        return ""
    surely = "is" if finding.grade == "must" else "may be"
    return f"There {in_words(demand.variable)} {surely} {listed(finding.found)}; it has to be {listed(demand.good)}."


def in_words(variable: str) -> str:
    """Say a variable as a person would: `the place of O1`, `ignition`."""
    owner, _, name = variable.rpartition(".")
    return f"'{name}' of {owner}" if owner else f"'{name}'"


def listed(words: Iterable[str]) -> str:
    """Join words: `a`, `a or b`, `a, b or c`."""
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def stops_of(way: "Iterable[Leg]") -> tuple[Passed, ...]:
    """Give the steps of the file on a way; a block that is followed is one stop, left by its exit."""
    shown: list[Passed] = []
    for leg in way:
        station = leg.station
        if not station.calls:
            shown.append(
                Passed(station.of.at, station.of.name, leg.outcome, station.step.words if station.step is not None else "")
            )
        elif shown and station.calls == (shown[-1].step,) and not station.is_step:
            shown[-1] = shown[-1]._replace(outcome=leg.outcome)
    return tuple(shown)
