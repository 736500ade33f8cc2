"""The step graph of a procedure or block, with its shared blocks expanded in place.

A node is a step, an ending or an exit; each keeps the place where it is written, so a step of a block knows the block's
file. Ways to an ending that runs a block `through` pass that block's nodes first. Reachability and shortest ways are
breadth-first searches here; components, dominators and cuts are networkx's (see `structure`).
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.outcomes import Exit
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.windows import Region
from proclint.model import Block, End, Flow, Step
from proclint.source import Place


@dataclass(frozen=True, slots=True)
class Node:
    """A place to be: a step, an ending, or an exit of a block. `calls` names the steps that lead into the block."""

    index: int
    name: str
    at: Place
    calls: tuple[str, ...]
    step: Step | None = None
    end: End | None = None

    @property
    def is_own(self) -> bool:
        """Whether the node is written in the file itself and not in a block."""
        return not self.calls


class Edge(NamedTuple):
    """One outcome of a node and the node it leads to. `is_round` marks the next round of a loop."""

    source: int
    target: int
    outcome: str
    at: Place
    is_failing: bool
    is_round: bool = False


@dataclass(frozen=True)
class StepGraph:
    """Nodes and edges of one file with its blocks expanded; node 0 is where every way begins.

    `cut_at` names the file's own step or ending at which the expansion came to its limit: there and in what is written behind it,
    blocks are not expanded. It is empty where all of them are.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    leaving: tuple[tuple[Edge, ...], ...] = field(repr=False)
    cut_at: str = ""

    @cached_property
    def arriving(self) -> tuple[tuple[Edge, ...], ...]:
        """The edges that lead to each node."""
        into: list[list[Edge]] = [[] for _ in self.nodes]
        for edge in self.edges:
            into[edge.target].append(edge)
        return tuple(map(tuple, into))

    @cached_property
    def reached(self) -> frozenset[int]:
        """The nodes to which some way leads from the first."""
        return frozenset(self.search((0,)))

    @cached_property
    def finishing(self) -> frozenset[int]:
        """The nodes from which some way leads to an ending or exit of the file itself."""
        seen = {node.index for node in self.nodes if node.end is not None and node.is_own}
        queue = deque(seen)
        while queue:
            for edge in self.arriving[queue.popleft()]:
                if edge.source not in seen:
                    seen.add(edge.source)
                    queue.append(edge.source)
        return frozenset(seen)

    def search(self, starts: Iterable[int], *, avoiding: frozenset[int] = frozenset()) -> dict[int, Edge | None]:
        """Give each node reachable from `starts` with the edge by which a shortest way arrives there.

        Length counts written steps, so exits of blocks cost nothing; ties fall by file order.
        """
        found: dict[int, Edge | None] = {}
        queue: deque[tuple[int, Edge | None]] = deque((start, None) for start in starts if start not in avoiding)
        while queue:
            at, by = queue.popleft()
            if at in found:
                continue
            found[at] = by
            free: list[tuple[int, Edge | None]] = []
            for edge in self.leaving[at]:
                if edge.target not in found and edge.target not in avoiding:
                    is_free = self.nodes[edge.target].step is None
                    (free if is_free else queue).append((edge.target, edge))
            queue.extendleft(reversed(free))
        return found

    def way(self, target: int, *, start: int = 0, avoiding: frozenset[int] = frozenset()) -> tuple[Edge, ...] | None:
        """Give a shortest way from `start` to `target`, or nothing where there is none."""
        found = self.search((start,), avoiding=avoiding)
        if target not in found:
            return None
        way = []
        by = found[target]
        while by is not None:
            way.append(by)
            by = found[by.source]
        return tuple(reversed(way))

    def own(self, name: str) -> Node | None:
        """Give the file's own step, ending or exit of that name."""
        return self._own.get(name)

    @cached_property
    def _own(self) -> Mapping[str, Node]:
        return {node.name: node for node in self.nodes if node.is_own}


def build_graph(flow: Flow, shelf: Shelf, *, most_nodes: int) -> StepGraph:
    """Expand a procedure or block into a graph; once it has more than `most_nodes` nodes no further block is laid."""
    builder = _Builder(shelf, most_nodes)
    builder.lay(shelf.written(flow), (), (flow.id,) if isinstance(flow, Block) else ())
    leaving: list[list[Edge]] = [[] for _ in builder.nodes]
    for edge in builder.edges:
        leaving[edge.source].append(edge)
    return StepGraph(tuple(builder.nodes), tuple(builder.edges), tuple(map(tuple, leaving)), builder.cut_at)


class _Builder:
    """Lays one flow after the other; a block that is being laid already is not entered again."""

    def __init__(self, shelf: Shelf, most_nodes: int) -> None:
        self.shelf = shelf
        self.most_nodes = most_nodes
        self.nodes: list[Node] = []
        self.edges: list[Edge] = []
        self.cut_at = ""

    def node(self, name: str, at: Place, calls: tuple[str, ...], *, step: Step | None = None, end: End | None = None) -> int:
        index = len(self.nodes)
        self.nodes.append(Node(index, name, at, calls, step, end))
        return index

    def edge(self, source: int, target: int, leaving: Exit) -> None:
        self.edges.append(Edge(source, target, leaving.outcome, leaving.at, leaving.is_failing))

    def lay(self, known: Written, calls: tuple[str, ...], ring: tuple[str, ...]) -> dict[str, int]:
        """Lay a flow's nodes and edges; give the entry of each name. The first step's node comes first."""
        entries = {name: self.node(name, each.step.at, calls, step=each.step) for name, each in known.steps.items()}
        own = dict(entries)
        for name, end in known.flow.ends.items():
            entries.setdefault(name, self.ending(end, calls, ring))
        for name, each in known.steps.items():
            self.step(each, own[name], entries, calls, ring)
        for region in known.regions:
            self.late(region, own, entries)
        return entries

    def ending(self, end: End, calls: tuple[str, ...], ring: tuple[str, ...]) -> int:
        """Lay an ending and, before it, the block that every way to it runs through; give the entry."""
        index = self.node(end.name, end.at, calls, end=end)
        within = (*calls, end.name)
        block = self.block(end.through, within, ring)
        if block is None:
            return index
        inner = self.lay(self.shelf.written(block), within, (*ring, block.id))
        for name, exit_ in block.ends.items():
            self.edges.append(Edge(inner[name], index, name, exit_.at, is_failing=False))
        return inner[block.first.name]

    def block(self, name: str, within: tuple[str, ...], ring: tuple[str, ...]) -> Block | None:
        block = self.shelf.blocks.get(name)
        if block is None or block.id in ring:
            return None
        if len(self.nodes) > self.most_nodes:
            self.cut_at = self.cut_at or within[0]
            return None
        return block

    def step(
        self, each: WrittenStep, index: int, entries: Mapping[str, int], calls: tuple[str, ...], ring: tuple[str, ...]
    ) -> None:
        step, within = each.step, (*calls, each.step.name)
        block = self.block(step.follow.block, within, ring) if step.follow is not None else None
        inner: Mapping[str, int] = {}
        if block is not None:
            inner = self.lay(self.shelf.written(block), within, (*ring, block.id))
            self.edges.append(Edge(index, inner[block.first.name], "", step.at, is_failing=False))
        wished = next(iter(block.ends), "") if block is not None else "done"
        for leaving in each.exits:
            source = inner.get(leaving.outcome, index) if leaving.outcome != "spent" else index
            if leaving.target in entries:
                self.edge(source, entries[leaving.target], leaving)
            if step.loop is not None and leaving.outcome == wished:
                self.edges.append(Edge(source, index, "next round", step.at, is_failing=False, is_round=True))

    def late(self, region: Region, own: Mapping[str, int], entries: Mapping[str, int]) -> None:
        if region.late not in entries:
            return
        for name in region.steps:
            self.edges.append(Edge(own[name], entries[region.late], "late", region.window.at, is_failing=True))


def stops(graph: StepGraph, way: tuple[Edge, ...]) -> Iterator[tuple[Node, str]]:
    """Give the nodes along a way, each with the outcome by which it is left; the last has none."""
    for edge in way:
        yield graph.nodes[edge.source], edge.outcome
    if way:
        yield graph.nodes[way[-1].target], ""
