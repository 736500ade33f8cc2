"""What the analyses found, put into the words of results."""

from collections.abc import Iterable
from dataclasses import replace

from proclint.analysis import Edge, Node, StepGraph, stops
from proclint.results import Passed


def told(graph: StepGraph, way: tuple[Edge, ...]) -> tuple[Passed, ...]:
    """Give a way as the stops of a code flow: each step of the file with the outcome by which it is left.

    A block that is followed is one stop, left by the exit that was taken.
    """
    shown: list[Passed] = []
    for node, outcome in stops(graph, way):
        if node.is_own:
            shown.append(_passed(node, outcome))
        elif shown and len(node.calls) == 1 and node.end is not None and node.calls[0] == shown[-1].step:
            shown[-1] = replace(shown[-1], outcome=outcome)
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
