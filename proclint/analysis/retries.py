"""What comes after a failure: loops without end, and successes that are none."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from proclint.analysis.does import Does
from proclint.analysis.graph import Edge, Node, StepGraph
from proclint.analysis.shelf import Written
from proclint.analysis.structure import Loop
from proclint.model import End, Step


class EndlessRetry(NamedTuple):
    """A loop through a failure that no number ends, shortest round first.

    `failing` is the step whose failing begins the round, `names` the file's own steps on it from there, `way` leads
    from the first step to it and once round. `hands_over` holds where more than one step of the round fails on to the next.
    """

    failing: Node
    names: tuple[str, ...]
    way: tuple[Edge, ...]
    hands_over: bool


def endless_retries(graph: StepGraph, loops: tuple[Loop, ...]) -> Iterator[EndlessRetry]:
    """Give the endless retries among loops, one a loop, where the file itself and not a block makes it."""
    for loop in loops:
        failing = [edge for edge in loop.edges if edge.is_failing and graph.nodes[edge.source].is_own]
        # Steps that are spent and hand over to one another are `spent_rings`.
        if any(edge.outcome != "spent" for edge in failing):
            yield _endless(graph, loop, failing)


def _endless(graph: StepGraph, loop: Loop, failing: list[Edge]) -> EndlessRetry:
    inside = frozenset(loop.nodes)
    outside = frozenset(range(len(graph.nodes))) - inside
    rounds = []
    for edge in failing:
        back = graph.way(edge.source, start=edge.target, avoiding=outside) if edge.target != edge.source else ()
        assert back is not None
        rounds.append((edge, *back))
    shortest = min(rounds, key=lambda way: (len(way), way[0].source))
    head = graph.nodes[shortest[0].source]
    names = tuple(dict.fromkeys(graph.nodes[edge.source].name for edge in shortest if graph.nodes[edge.source].is_own))
    there = graph.way(head.index) or ()
    return EndlessRetry(head, names, (*there, *shortest), sum(edge.is_failing for edge in shortest) > 1)


def spent_rings(written: Written) -> tuple[tuple[Step, ...], ...]:
    """Give the rings of steps that, their tries used up, hand over to one another."""
    following = {
        name: leaving.target for name, each in written.steps.items() for leaving in each.exits if leaving.outcome == "spent"
    }
    rings, seen = [], set()
    for start in following:
        walk: list[str] = []
        at: str | None = start
        while at is not None and at not in seen:
            seen.add(at)
            walk.append(at)
            at = following.get(at)
        if at in walk:
            rings.append(tuple(written.steps[each].step for each in walk[walk.index(at) :]))
    return tuple(rings)


class FalseSuccess(NamedTuple):
    """A step that failed, a way from that failing to a success that does not pass the step again, and the ending."""

    node: Node
    ending: End
    way: tuple[Edge, ...]


def false_successes(graph: StepGraph, last_word: Mapping[str, bool]) -> Iterator[FalseSuccess]:
    """Find failings of the file's own steps that end in success without the step being passed again.

    `last_word` says of each step whether its failing means that the job failed (a write, a test) and not only one attempt.
    A way that passes another step which does the same, or tests what was written, counts as passing it again.
    """
    # A block's step stands in the graph once for each call of the block.
    known = {id(node.step): Does.of(node.step) for node in _distinct(graph) if node.step is not None}
    does = [(node.index, does) for node in graph.nodes if (does := known.get(id(node.step))) is not None and does.counts]
    for node in graph.nodes:
        if node.step is None or not node.is_own or not last_word.get(node.name) or node.index not in graph.reached:
            continue
        failed = known[id(node.step)]
        again = frozenset(index for index, other in does if other.makes_good(failed))
        for edge in _failings(graph, node):
            found = _success(graph, edge, again)
            if found is not None:
                yield FalseSuccess(node, *found)
                break


def _failings(graph: StepGraph, node: Node) -> Iterator[Edge]:
    """Give the edges by which a step is left failed: its own, or those from the unwished exits of the block it follows."""
    exits = (each.index for each in graph.nodes if each.end is not None and each.calls == (node.name,))
    for index in (node.index, *exits):
        yield from (edge for edge in graph.leaving[index] if edge.is_failing and edge.outcome not in ("spent", "late"))


def _distinct(graph: StepGraph) -> Iterable[Node]:
    """Give one node of each step."""
    return {id(node.step): node for node in graph.nodes}.values()


def _success(graph: StepGraph, failing: Edge, again: frozenset[int]) -> tuple[End, tuple[Edge, ...]] | None:
    if failing.target in again:
        return None
    ends = [node for node in graph.nodes if node.end is not None and node.end.kind == "success" and node.is_own]
    for node in ends:
        rest = graph.way(node.index, start=failing.target, avoiding=again)
        if rest is not None and node.end is not None:
            return node.end, (*(graph.way(failing.source) or ()), failing, *rest)
    return None
