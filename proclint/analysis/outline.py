"""What can be seen of a file without laying its blocks out.

Nearly every file is as it should be, and that shows already where each block is a single step of which the exits are known.
What an outline calls well is well in the step graph too; whatever it does not, has to be looked at there.
"""

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cached_property

from proclint.analysis.does import Does
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.structure import has_loop
from proclint.model import End


@dataclass(frozen=True)
class Outline:
    """A file as written, and the blocks that it follows, all of which are there and in no ring."""

    written: Written
    shelf: Shelf

    @cached_property
    def following(self) -> Mapping[str, tuple[str, ...]]:
        """Give, for each step and ending, what can come straight after it."""
        flow, follow = self.written.flow, self.shelf.following
        named = {name: follow(self.written, name) for name in (*flow.steps, *flow.ends)}
        closed = {name for name, end in flow.ends.items() if end.through and not self.shelf.open_exits(end.through)}
        left = named.keys() - closed
        return {name: tuple([to for to in targets if to in left]) for name, targets in named.items()}

    @cached_property
    def reaches_all(self) -> bool:
        """Whether some way leads to every step and ending."""
        return len(spread((self.written.flow.first.name,), self.following)) == len(self.following)

    @cached_property
    def always_ends(self) -> bool:
        """Whether some way leads on from every step to an ending."""
        arriving: dict[str, list[str]] = {}
        for source, targets in self.following.items():
            for target in targets:
                arriving.setdefault(target, []).append(source)
        return len(spread(self.written.flow.ends, arriving)) == len(self.following)

    @cached_property
    def never_turns(self) -> bool:
        """Whether no loop is left where rounds and steps with `tries` are taken as bounded."""
        steps = self.written.steps
        return not has_loop(
            (name, target)
            for name, targets in self.following.items()
            for target in (targets if name not in steps or steps[name].step.tries is None else _spent(steps[name]))
        )

    def ends_well(self, last_words: Iterable[str]) -> bool:
        """Whether the failing of any of these steps may still end in success without being made good."""
        steps = self.written.steps
        return any(self._ends_well(steps[name]) for name in last_words if name in steps)

    def _ends_well(self, each: WrittenStep) -> bool:
        failed = Does.of(each.step)
        starts = tuple(out.target for out in each.exits if out.is_failing and out.outcome != "spent")
        found = self.shelf.reached(self.written, starts, failed)
        return any(_is_success(self.written.flow.ends.get(name)) for name in found)


def _spent(each: WrittenStep) -> tuple[str, ...]:
    return tuple(leaving.target for leaving in each.exits if leaving.outcome == "spent")


def _is_success(end: End | None) -> bool:
    return end is not None and end.kind == "success"


def spread(
    starts: Iterable[str], following: Mapping[str, Iterable[str]], *, avoiding: AbstractSet[str] = frozenset()
) -> AbstractSet[str]:
    """Give what is reached from `starts`, these included, without passing what is to be avoided."""
    waiting = [name for name in starts if name not in avoiding]
    seen = set(waiting)
    for name in waiting:
        fresh = [target for target in following.get(name, ()) if target not in seen and target not in avoiding]
        seen.update(fresh)
        waiting += fresh
    return seen
