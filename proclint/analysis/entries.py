"""Ways that lead into a timed part past its beginning, and first contacts that nothing follows."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.analysis.graph import Edge, Node, StepGraph
from proclint.analysis.shelf import Written
from proclint.analysis.windows import Region
from proclint.model import Step


class WindowEntry(NamedTuple):
    """A step inside a window's region to which a way leads that has not opened the window since it last left the region."""

    region: Region
    node: Node
    way: tuple[Edge, ...]


def window_entries(graph: StepGraph, written: Written) -> Iterator[WindowEntry]:
    """Find the ways into timed parts that do not pass their beginning, nearest first, one a window."""
    for region in written.regions:
        inside = {node.index: node for node in graph.nodes if node.is_own and node.name in region.steps}
        openers = frozenset(index for index, node in inside.items() if node.name in region.openers)
        arriving = (edge for index in inside if index not in openers for edge in graph.arriving[index])
        ways = [
            (*way, edge)
            for edge in arriving
            if _enters(graph, region, edge, inside) and (way := graph.way(edge.source)) is not None
        ]
        if openers and ways:
            nearest = min(ways, key=lambda way: (len(way), way[-1].target))
            yield WindowEntry(region, inside[nearest[-1].target], nearest)


def may_enter(written: Written) -> bool:
    """Whether some way leads into a timed part past its beginning, or comes out of a block in one and has to be looked at."""
    return any(_may_enter(written, region) for region in written.regions)


def _may_enter(written: Written, region: Region) -> bool:
    inner = frozenset(region.steps) - region.openers
    still_open = frozenset(region.steps) - (region.closers - region.openers)
    return any(other.late in inner for other in written.regions) or any(
        leaving.target in inner and (leaving.is_failing or each.step.follow is not None or name not in still_open)
        for name, each in written.steps.items()
        for leaving in each.exits
    )


def _enters(graph: StepGraph, region: Region, edge: Edge, inside: dict[int, Node]) -> bool:
    """Say whether an edge comes from outside, or from a step that had closed or given up the window."""
    if edge.source not in graph.reached or edge.is_round:
        return False
    name = graph.nodes[edge.source].name
    stays_open = edge.source in inside and name not in region.closers - region.openers
    return edge.is_failing or not stays_open


class Silence(NamedTuple):
    """A first contact with the vehicle whose failing leads straight to an ending."""

    node: Node
    ending: str
    way: tuple[Edge, ...]


def silences(graph: StepGraph) -> Iterator[Silence]:
    """Find the first sessions, or selections of a system, whose failing leads to an ending with nothing tried."""
    first = _first_contacts(graph)
    for node in first:
        for edge in graph.leaving[node.index]:
            ending = _straight_ending(graph, edge) if edge.is_failing and edge.outcome == "fails" else ""
            if ending:
                yield Silence(node, ending, (*(graph.way(node.index) or ()), edge))


def may_be_silent(written: Written, following: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether a step that makes contact before any other does leads to an ending when it fails: else there is no silence."""
    waiting = [written.flow.first.name]
    seen = set(waiting)
    for name in waiting:
        each = written.steps.get(name)
        if each is not None and _makes_contact(each.step):
            if any(leaving.outcome == "fails" and leaving.target in written.flow.ends for leaving in each.exits):
                return True
            continue
        fresh = [target for target in following.get(name, ()) if target not in seen]
        seen.update(fresh)
        waiting += fresh
    return False


def _makes_contact(step: Step | None) -> bool:
    return step is not None and any(line.verb in ("open-session", "select") for line in step.lines)


def _first_contacts(graph: StepGraph) -> list[Node]:
    contacts = frozenset(node.index for node in graph.nodes if _makes_contact(node.step))
    seen = {0}
    waiting = [0] if 0 not in contacts else []
    first = [graph.nodes[0]] if 0 in contacts else []
    for at in waiting:
        for edge in graph.leaving[at]:
            if edge.target in seen:
                continue
            seen.add(edge.target)
            if edge.target in contacts:
                first.append(graph.nodes[edge.target])
            else:
                waiting.append(edge.target)
    return [node for node in first if node.is_own]


def _straight_ending(graph: StepGraph, edge: Edge) -> str:
    """Give the ending that an edge leads to with no step of the file between, or nothing."""
    node = graph.nodes[edge.target]
    if node.end is not None and node.is_own:
        return node.name
    # The block that an ending runs through stands before it.
    return node.calls[0] if node.calls and graph.own(node.calls[0]) is not None and _is_end(graph, node.calls[0]) else ""


def _is_end(graph: StepGraph, name: str) -> bool:
    node = graph.own(name)
    return node is not None and node.end is not None
