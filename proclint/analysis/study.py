"""What the analyses know of one procedure or block: worked out when asked for, once."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from proclint.analysis.conditions import Ranges
from proclint.analysis.dead_ends import CutOff, Trap, cut_off, traps
from proclint.analysis.entries import Silence, WindowEntry, may_be_silent, may_enter, silences, window_entries
from proclint.analysis.graph import Edge, StepGraph, build_graph
from proclint.analysis.lamps import Unseen, may_hang, unseen
from proclint.analysis.old_counts import OldCount, may_reckon, old_counts
from proclint.analysis.outline import Outline
from proclint.analysis.repeats import Retry, TimedRetry, idle_retries, retries_without_reset, way_of
from proclint.analysis.retries import EndlessRetry, FalseSuccess, endless_retries, false_successes, spent_rings
from proclint.analysis.rings import ReadTogether, read_together
from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.structure import loops, unbounded
from proclint.analysis.time.times import Times
from proclint.analysis.words import Words
from proclint.catalogue import Catalogue
from proclint.model import Flow, Procedure, Step

if TYPE_CHECKING:
    from proclint.analysis.states.by_way import ByWay
    from proclint.analysis.states.findings import Findings


class Limits(NamedTuple):
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
    def words(self) -> Words:
        """What is known of the texts that people read."""
        return Words(self.written, self.catalogue)

    @cached_property
    def times(self) -> Times:
        """What is known of its times."""
        return Times(self.written, self.shelf)

    @cached_property
    def outline(self) -> Outline | None:
        """The file with each block as one step; nothing where a block is missing or in a ring, or there is too much of them."""
        size = self.shelf.size(self.flow)
        return Outline(self.written, self.shelf) if 0 < size <= self.limits.nodes else None

    @cached_property
    def graph(self) -> StepGraph:
        """The step graph with blocks expanded."""
        return build_graph(self.flow, self.shelf, most_nodes=self.limits.nodes)

    @cached_property
    def cut_off(self) -> tuple[CutOff, ...]:
        """What no way reaches."""
        return () if self.outline is not None and self.outline.reaches_all else cut_off(self.graph)

    @cached_property
    def traps(self) -> tuple[Trap, ...]:
        """What can be entered and never left for an ending."""
        return () if self.outline is not None and self.outline.always_ends else traps(self.graph)

    @cached_property
    def endless_retries(self) -> tuple[EndlessRetry, ...]:
        """The loops through a failure that no number ends."""
        if self.outline is not None and self.outline.never_turns:
            return ()
        return tuple(endless_retries(self.graph, loops(unbounded(self.graph))))

    @cached_property
    def spent_rings(self) -> tuple[tuple[Step, ...], ...]:
        """The steps that, spent, hand over to one another."""
        return spent_rings(self.written)

    @cached_property
    def false_successes(self) -> tuple[FalseSuccess, ...]:
        """The writes and tests whose failing ends in success."""
        if self.outline is not None and not self.outline.ends_well(name for name, is_last in self.last_words.items() if is_last):
            return ()
        return tuple(false_successes(self.graph, self.last_words))

    @cached_property
    def last_words(self) -> Mapping[str, bool]:
        """Whether the failing of each step means that the job failed (a write, a test), and not one attempt only."""
        return {name: self._is_last_word(step) for name, step in self.flow.steps.items()}

    def _is_last_word(self, step: Step) -> bool:
        if step.follow is not None:
            key = ("tests a key", step.follow.block)
            if key not in self.shelf.kept:
                self.shelf.kept[key] = self._tests(step.follow.block, frozenset())
            return bool(self.shelf.kept[key])
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
    def ranges(self) -> Ranges:
        """The least and most of each count that the file itself bounds: how many keys of a group are here and away."""
        if not isinstance(self.flow, Procedure):
            return ()
        groups = self.flow.keys.values()
        return tuple(
            (f"{each.letter}.{where}", span) for each in groups for where, span in (("here", each.here), ("away", each.away))
        )

    @cached_property
    def states(self) -> "Findings":
        """What does not hold on some way, run over all that can be known of vehicle, keys and job."""
        # Loaded when first asked for, as nothing that only lists rules or steps needs it.
        from proclint.analysis.states.running import run

        return run(self.written, self.shelf, is_whole=self.outline is not None)

    def by_way(self, rule: str) -> tuple["ByWay", ...]:
        """Give what does not hold under a rule, each with the way on which it does, if there is one."""
        from proclint.analysis.states.by_way import by_way

        return tuple(by_way(self.written, self.shelf, self.states.of(rule)))

    def warns_of(self, hazard: str) -> bool:
        """Whether a step of the file, or of a block that it follows, bears the caution of a hazard."""
        return any(caution.text == hazard for step in self._all_steps() for caution in step.cautions)

    def looks_at(self, variable: str) -> bool:
        """Whether a line of the file, or of a block that it follows, looks at a variable."""
        lines = (line for step in self._all_steps() for line in step.lines)
        return any(line.verb == "look" and line.words.get("variable") == variable for line in lines)

    def _all_steps(self) -> Iterator[Step]:
        return (step for flow in (self.flow, *self.shelf.followed(self.flow)) for step in flow.steps.values())

    def way_of(self, retry: Retry) -> tuple[Edge, ...]:
        """Give a shortest way to a first try, and from there to the second."""
        return way_of(self.graph, retry)

    @cached_property
    def idle_retries(self) -> tuple[Retry, ...]:
        """The retries before which nothing is changed."""
        return tuple(idle_retries(self.written))

    @cached_property
    def retries_without_reset(self) -> tuple[TimedRetry, ...]:
        """The retries of a timed part before which nothing of it is undone."""
        return tuple(retries_without_reset(self.written, self.catalogue))

    @cached_property
    def old_counts(self) -> tuple[OldCount, ...]:
        """The ways that reckon with a number from before an erase."""
        if self.outline is not None and not may_reckon(self.outline):
            return ()
        return tuple(old_counts(self.graph, self.catalogue))

    @cached_property
    def window_entries(self) -> tuple[WindowEntry, ...]:
        """The ways into timed parts that do not pass their beginning."""
        return tuple(window_entries(self.graph, self.written)) if may_enter(self.written) else ()

    @cached_property
    def silences(self) -> tuple[Silence, ...]:
        """The first contacts after whose failing nothing is tried."""
        if self.outline is not None and not may_be_silent(self.written, self.outline.following):
            return ()
        return tuple(silences(self.graph))

    @cached_property
    def unseen_lamps(self) -> tuple[Unseen, ...]:
        """The signs that hang on a lamp's going dark where on some way nobody saw it lit."""
        return tuple(unseen(self.graph, self.flow, self.catalogue)) if may_hang(self.flow, self.shelf) else ()

    @cached_property
    def read_together(self) -> tuple[ReadTogether, ...]:
        """The lines that read a chip while words have left several keys on one ring."""
        found = (read_together(self.graph, self.flow, ring, self.catalogue) for ring in self.words.rings)
        return tuple(each for each in found if each is not None)

    def way_to(self, name: str) -> tuple[Edge, ...]:
        """Give a shortest way to a step of the file; none where no way leads there."""
        node = self.graph.own(name)
        return (self.graph.way(node.index) or ()) if node is not None else ()
