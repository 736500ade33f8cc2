"""What the analyses know of one procedure or block: worked out when asked for, once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from proclint.analysis.dead_ends import CutOff, Trap, cut_off, traps
from proclint.analysis.entries import Silence, WindowEntry, silences, window_entries
from proclint.analysis.graph import Edge, Node, Shelf, StepGraph, Written, build_graph
from proclint.analysis.retries import EndlessRetry, FalseSuccess, endless_retries, false_successes, spent_rings
from proclint.analysis.structure import Loop, loops, unbounded
from proclint.catalogue import Catalogue
from proclint.model import Flow, Procedure, Step


@dataclass(frozen=True, slots=True)
class Limits:
    """How far an analysis goes before it says that it could not decide."""

    nodes: int = 20_000


@dataclass(frozen=True)
class Study:
    """One flow, the shelf of blocks it may follow, the day of the check (ISO 8601) and the limits."""

    flow: Flow
    shelf: Shelf
    on: str
    limits: Limits

    @property
    def catalogue(self) -> Catalogue:
        """The words of the trade."""
        return self.shelf.catalogue

    @cached_property
    def written(self) -> Written:
        """Steps and exits as written, blocks not expanded."""
        return self.shelf.written(self.flow)

    @cached_property
    def graph(self) -> StepGraph:
        """The step graph with blocks expanded."""
        return build_graph(self.flow, self.shelf, most_nodes=self.limits.nodes)

    @cached_property
    def unbounded_loops(self) -> tuple[Loop, ...]:
        """The loops that no number of tries or rounds ends."""
        return loops(unbounded(self.graph))

    @cached_property
    def cut_off(self) -> tuple[CutOff, ...]:
        """What no way reaches."""
        return cut_off(self.graph)

    @cached_property
    def traps(self) -> tuple[Trap, ...]:
        """What can be entered and never left for an ending."""
        return traps(self.graph)

    @cached_property
    def endless_retries(self) -> tuple[EndlessRetry, ...]:
        """The loops through a failure that no number ends."""
        return tuple(endless_retries(self.graph, self.unbounded_loops))

    @cached_property
    def spent_rings(self) -> tuple[tuple[Node, ...], ...]:
        """The steps that, spent, hand over to one another."""
        return spent_rings(self.graph)

    @cached_property
    def false_successes(self) -> tuple[FalseSuccess, ...]:
        """The writes and tests whose failing ends in success."""
        return tuple(false_successes(self.graph, self._last_words))

    @cached_property
    def _last_words(self) -> Mapping[str, bool]:
        return {name: self._is_last_word(step) for name, step in self.flow.steps.items()}

    def _is_last_word(self, step: Step) -> bool:
        if step.follow is not None:
            return self._tests(step.follow.block, frozenset())
        return any(line.action.writes or line.action.proves for line in step.lines)

    def _tests(self, name: str, seen: frozenset[str]) -> bool:
        """Whether a block, or one that it follows, tests a key."""
        block = self.shelf.blocks.get(name)
        if block is None or name in seen:
            return False
        steps = block.steps.values()
        inner = (step.follow.block for step in steps if step.follow is not None)
        tests = any(line.action.proves for step in steps for line in step.lines)
        return tests or any(self._tests(each, seen | {name}) for each in inner)

    @cached_property
    def ranges(self) -> Mapping[str, tuple[int, int]]:
        """The least and most of each count that the file itself bounds: how many keys of a group are here and away."""
        if not isinstance(self.flow, Procedure):
            return {}
        groups = self.flow.keys.values()
        return {f"{each.letter}.{where}": span for each in groups for where, span in (("here", each.here), ("away", each.away))}

    @cached_property
    def window_entries(self) -> tuple[WindowEntry, ...]:
        """The ways into timed parts that do not pass their beginning."""
        return tuple(window_entries(self.graph, self.written))

    @cached_property
    def silences(self) -> tuple[Silence, ...]:
        """The first contacts after whose failing nothing is tried."""
        return tuple(silences(self.graph))

    def way_to(self, name: str) -> tuple[Edge, ...]:
        """Give a shortest way to a step of the file; none where no way leads there."""
        node = self.graph.own(name)
        return (self.graph.way(node.index) or ()) if node is not None else ()
