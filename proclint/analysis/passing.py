"""Ways through a step graph on which something is kept in mind: where they lead, with what, and by which of them first."""

from collections import deque
from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeAlias

from proclint.analysis.graph import Edge, StepGraph


class Stage(NamedTuple):
    """A node, by its index, and what is kept in mind on entering it."""

    node: int
    mind: str


# For each stage the one before it and the edge between; nothing for the first.
Passed: TypeAlias = Mapping[Stage, tuple[Stage, Edge] | None]


def passed(graph: StepGraph, mind: str, after: Callable[[Edge, str], str]) -> Passed:
    """Give every stage that some way leads to, nearest first; `after` says what is kept in mind behind an edge.

    Of equally near ones that comes first whose edges come first in the file.
    """
    first = Stage(0, mind)
    found: dict[Stage, tuple[Stage, Edge] | None] = {first: None}
    queue = deque((first,))
    while queue:
        stage = queue.popleft()
        for edge in graph.leaving[stage.node]:
            reached = Stage(edge.target, after(edge, stage.mind))
            if reached not in found:
                found[reached] = (stage, edge)
                queue.append(reached)
    return found


def way_to(stage: Stage, found: Passed) -> tuple[Edge, ...]:
    """Give a shortest way to a stage."""
    way = []
    by = found[stage]
    while by is not None:
        stage, edge = by
        way.append(edge)
        by = found[stage]
    return tuple(reversed(way))
