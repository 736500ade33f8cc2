"""Procedures and blocks as written, each step with its exits, and the blocks that files may follow."""

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from proclint.analysis.does import Does
from proclint.analysis.outcomes import Exit, Outcomes, exits_of, following, outcomes_of
from proclint.analysis.windows import Region, regions
from proclint.catalogue import Catalogue
from proclint.model import Block, Flow, Step


class WrittenStep(NamedTuple):
    """A step with its possible outcomes and their exits."""

    step: Step
    outcomes: Outcomes
    exits: tuple[Exit, ...]


class Written(NamedTuple):
    """A procedure or block as written: its steps with their exits, and the regions of its windows."""

    flow: Flow
    steps: Mapping[str, WrittenStep]
    regions: tuple[Region, ...]


def written(flow: Flow, catalogue: Catalogue, blocks: Mapping[str, Block]) -> Written:
    """Work out the exits of every step, blocks not expanded."""
    next_of = following(flow)
    steps = {}
    for name, step in flow.steps.items():
        outcomes = outcomes_of(step, catalogue, blocks)
        exits = tuple(exits_of(step, outcomes, next_of.get(name, "")))
        steps[name] = WrittenStep(step, outcomes, exits)
    if not flow.windows:
        return Written(flow, steps, ())
    # Whoever leaves failing gives the window up, so it is open only where the steps go on.
    targets = {name: tuple(each.target for each in known.exits if not each.is_failing) for name, known in steps.items()}
    return Written(flow, steps, tuple(regions(flow, targets)))


class Shelf:
    """The blocks that files may follow, each worked out once."""

    def __init__(
        self,
        blocks: Mapping[str, Block],
        catalogue: Catalogue,
        broken: frozenset[str] = frozenset(),
        facts_of: Callable[[Flow], tuple[tuple[str, tuple[str, ...]], ...]] = lambda _: (),
    ) -> None:
        self.blocks = blocks
        # What tables say of the vehicles of a procedure: for each attribute all different texts.
        self.facts_of = facts_of
        # There, but of a form that cannot be read: told once, where it is written.
        self.broken = broken
        self.catalogue = catalogue
        # What is worked out of blocks once for all files that follow them, by whoever works it out.
        self.kept: dict[object, object] = {}
        self._written: dict[str, Written] = {}
        self._sizes: dict[str, int] = {}
        self._open_exits: dict[tuple[str, Does | None], frozenset[str]] = {}

    def written(self, flow: Flow) -> Written:
        """Give a flow with its exits; those of a block on the shelf are kept."""
        if self.blocks.get(flow.id) is not flow:
            return written(flow, self.catalogue, self.blocks)
        if flow.id not in self._written:
            self._written[flow.id] = written(flow, self.catalogue, self.blocks)
        return self._written[flow.id]

    def size(self, flow: Flow, ring: tuple[str, ...] = ()) -> int:
        """Give how many nodes a flow has with its blocks expanded; 0 where a block is missing or follows itself."""
        ring = (*ring, flow.id)
        sizes = [0 if name in ring else self._block_size(name, ring) for name in _names_followed(flow)]
        return len(flow.steps) + len(flow.ends) + sum(sizes) if all(sizes) else 0

    def _block_size(self, name: str, ring: tuple[str, ...]) -> int:
        if name not in self._sizes:
            block = self.blocks.get(name)
            self._sizes[name] = self.size(block, ring) if block is not None else 0
        return self._sizes[name]

    def followed(self, flow: Flow) -> Iterator[Block]:
        """Give the blocks that a flow follows, and those that these follow, as far as they are there."""
        waiting, seen = [flow], set()
        for each in waiting:
            for name in _names_followed(each):
                if name not in seen and name in self.blocks:
                    seen.add(name)
                    waiting.append(self.blocks[name])
                    yield self.blocks[name]

    def open_exits(self, name: str, failed: Does | None = None) -> frozenset[str]:
        """Give the exits of a block that some way reaches without passing what makes good that `failed` failed.

        The block and those it follows must be there and in no ring (see `size`).
        """
        key = (name, failed)
        if key not in self._open_exits:
            block = self.blocks[name]
            found = self.reached(self.written(block), (block.first.name,), failed)
            self._open_exits[key] = found & block.ends.keys()
        return self._open_exits[key]

    def reached(self, known: Written, starts: tuple[str, ...], failed: Does | None = None) -> frozenset[str]:
        """Give the steps, endings and exits reached from `starts` without passing what makes good that `failed` failed."""
        seen: set[str] = set()
        waiting = list(starts)
        for name in waiting:
            if name not in seen and not self._is_closed(known.flow, name, failed):
                seen.add(name)
                waiting += self.following(known, name, failed)
        return frozenset(seen)

    def _is_closed(self, flow: Flow, name: str, failed: Does | None) -> bool:
        """Whether no way leads through a step, or through the block before an ending."""
        step, end = flow.steps.get(name), flow.ends.get(name)
        if step is not None:
            does = Does.of(step) if failed is not None else None
            return does is not None and failed is not None and does.counts and does.makes_good(failed)
        return end is None or (bool(end.through) and not self.open_exits(end.through, failed))

    def following(self, known: Written, name: str, failed: Does | None = None) -> tuple[str, ...]:
        """Give what can come straight after a step, an overrun of a window included."""
        each = known.steps.get(name)
        if each is None:
            return ()
        late = [region.late for region in known.regions if name in region.steps]
        if each.step.follow is None:
            return (*late, *[leaving.target for leaving in each.exits])
        open_exits = self.open_exits(each.step.follow.block, failed)
        return (*late, *[out.target for out in each.exits if out.outcome in open_exits or out.outcome == "spent"])


def _names_followed(flow: Flow) -> tuple[str, ...]:
    """Give the blocks that a flow follows itself, each as often as it does."""
    steps = (step.follow.block for step in flow.steps.values() if step.follow is not None)
    return (*steps, *(end.through for end in flow.ends.values() if end.through))
