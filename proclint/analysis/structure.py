"""Loops, dominators and cuts of a step graph.

The algorithms are networkx's: strong components (Tarjan 1972, with Nuutila's changes), immediate dominators (Cooper,
Harvey and Kennedy 2001). It takes longer to load than most files take to check, so it is loaded only for a graph that
has a loop to explain or when dominators are asked for: whether a graph has a loop at all is found by
taking away, again and again, what nothing leads to (Kahn 1962).
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from proclint.analysis.graph import Edge, StepGraph


class Loop(NamedTuple):
    """A set of nodes each of which leads to every other.

    `entries` are its nodes to which a way leads from outside (or where every way begins), `exits` the edges that leave it,
    `edges` those inside.
    """

    nodes: tuple[int, ...]
    entries: tuple[int, ...]
    exits: tuple[Edge, ...]
    edges: tuple[Edge, ...]


def has_loop(edges: Iterable[tuple[object, object]]) -> bool:
    """Whether some of these edges, each a source and a target, form a loop."""
    following: dict[object, list[object]] = {}
    waiting: dict[object, int] = {}
    for source, target in edges:
        following.setdefault(source, []).append(target)
        waiting.setdefault(source, 0)
        waiting[target] = waiting.get(target, 0) + 1
    free = [node for node, count in waiting.items() if count == 0]
    for node in free:
        for target in following.get(node, ()):
            waiting[target] -= 1
            if waiting[target] == 0:
                free.append(target)
    return len(free) < len(waiting)


def loops(edges: Sequence[Edge], *, start: int = 0) -> tuple[Loop, ...]:
    """Give every loop of these edges: each strong component that has an edge inside, first node first."""
    if not has_loop((edge.source, edge.target) for edge in edges):
        return ()
    import networkx

    drawn = networkx.DiGraph((edge.source, edge.target) for edge in edges)
    alone = {edge.source for edge in edges if edge.source == edge.target}
    found = []
    for nodes in networkx.strongly_connected_components(drawn):
        if len(nodes) > 1 or nodes & alone:
            inside = tuple(edge for edge in edges if edge.source in nodes and edge.target in nodes)
            leaving = tuple(edge for edge in edges if edge.source in nodes and edge.target not in nodes)
            entered = {edge.target for edge in edges if edge.target in nodes and edge.source not in nodes}
            entered |= {start} & nodes
            found.append(Loop(tuple(sorted(nodes)), tuple(sorted(entered)), leaving, inside))
    return tuple(sorted(found, key=lambda loop: loop.nodes))


def unbounded(graph: StepGraph) -> tuple[Edge, ...]:
    """Give the reachable edges that no number ever uses up.

    Rounds end by their number. A step with `tries` is left only as spent once they are used up, so of
    its edges that one alone remains. A loop of what is left can go on for ever.
    """
    return tuple(edge for edge in graph.edges if edge.source in graph.reached and _lasts(graph, edge))


def _lasts(graph: StepGraph, edge: Edge) -> bool:
    step = graph.nodes[edge.source].step
    has_tries = step is not None and step.tries is not None
    return not edge.is_round and (not has_tries or edge.outcome == "spent")


def dominators(graph: StepGraph) -> Mapping[int, int]:
    """Give the immediate dominator of each reachable node but the first."""
    import networkx

    drawn = networkx.DiGraph((edge.source, edge.target) for edge in graph.edges)
    drawn.add_node(0)
    found = networkx.immediate_dominators(drawn, 0)
    return {node: by for node, by in found.items() if node != 0}


def post_dominators(graph: StepGraph) -> Mapping[int, int]:
    """Give the nearest node that every way on from a node to an ending passes; -1 stands for the end itself."""
    import networkx

    drawn = networkx.DiGraph((edge.target, edge.source) for edge in graph.edges)
    drawn.add_edges_from((-1, node.index) for node in graph.nodes if node.end is not None and node.is_own)
    found = networkx.immediate_dominators(drawn, -1)
    return {node: by for node, by in found.items() if node != -1}


def covers(graph: StepGraph, cut: frozenset[int], target: int) -> bool:
    """Whether every way to `target` passes a node of `cut`: one dominator is not enough, two branches may share it."""
    return target not in graph.search((0,), avoiding=cut)
