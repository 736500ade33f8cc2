"""The parts of a graph that no way reaches, and those that no way leaves."""

from typing import NamedTuple

from proclint.analysis.graph import Edge, Node, StepGraph


class CutOff(NamedTuple):
    """A node of the file that no way reaches, and the nodes that it alone would lead to."""

    head: Node
    behind: tuple[Node, ...]


def cut_off(graph: StepGraph) -> tuple[CutOff, ...]:
    """Give what no way from the first node reaches: the fewest heads from which all of it would be."""
    lost = [node for node in graph.nodes if node.is_own and node.index not in graph.reached]
    heads: list[CutOff] = []
    taken: set[int] = set()
    for node in sorted(lost, key=lambda node: (_is_led_to(graph, node), node.end is not None, node.index)):
        if node.index in taken:
            continue
        found = graph.search((node.index,))
        behind = tuple(graph.nodes[at] for at in sorted(found) if at != node.index and _is_lost(graph, at, taken))
        taken.update(found)
        heads.append(CutOff(node, behind))
    return tuple(sorted(heads, key=lambda each: each.head.index))


def _is_led_to(graph: StepGraph, node: Node) -> bool:
    return any(edge.source != node.index for edge in graph.arriving[node.index])


def _is_lost(graph: StepGraph, at: int, taken: set[int]) -> bool:
    return graph.nodes[at].is_own and at not in graph.reached and at not in taken


class Trap(NamedTuple):
    """Nodes from which no way leads to an ending; a way comes in at `entry`, its shortest way is `way`."""

    entry: Node
    nodes: tuple[Node, ...]
    way: tuple[Edge, ...]


def traps(graph: StepGraph) -> tuple[Trap, ...]:
    """Give the reachable nodes without a way to an ending, those that hang together as one, nearest first."""
    stuck = [node for node in graph.nodes if node.index in graph.reached and node.index not in graph.finishing]
    if not stuck:
        return ()
    found: list[Trap] = []
    taken: set[int] = set()
    arrivals = graph.search((0,))
    order = {at: rank for rank, at in enumerate(arrivals)}
    for node in sorted(stuck, key=lambda node: order[node.index]):
        if node.index in taken:
            continue
        inside = graph.search((node.index,))
        nodes = tuple(graph.nodes[at] for at in sorted(inside) if at not in taken)
        way = graph.way(node.index)
        assert way is not None
        found.append(Trap(node, nodes, way))
        taken.update(inside)
    return tuple(found)
