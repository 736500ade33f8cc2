"""How long the ways through a procedure or a block take, from its first step to each of its endings or exits.

The quickest is the shortest way by the least times; the usual is the way with the fewest failures and, of these, with the least usual
time; the slowest is the longest way by the most times, each step with `tries` being entered as often as it may be and each round
done. Conditions on ways are not looked at, so that the slowest is never too small. A block's `tries` count anew each time it is entered.
The shortest ways are Dijkstra's (1959), the longest a pass in order over visits of steps, which with their numbers of tries form no loop.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from heapq import heappop, heappush
from typing import NamedTuple, TypeAlias

from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.time.lengths import NOTHING, Count, Length, total
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.stn import Open
from proclint.model import End, Follow, Step

# Visits of steps that are looked at for the longest way.
MOST_VISITS = 50_000


@dataclass(frozen=True, slots=True)
class Span:
    """How long the ways to one ending or exit take together; with a `limit` the longest way could not be found.

    `usual_way` names the steps of the usual way in order, each with the outcome by which it is left.
    """

    length: Length
    usual_way: tuple[tuple[str, str], ...]
    limit: Open | None = None


class Passage(NamedTuple):
    """One outcome of a step: where it leads and how long the step takes then."""

    source: str
    target: str
    outcome: str
    is_failing: bool
    length: Length


class Spans:
    """The spans of flows, each block worked out once for what it is given."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._known: dict[object, Mapping[str, Span]] = {}

    def of(self, written: Written, pace: Pace) -> Mapping[str, Span]:
        """Give the span to each ending or exit that a way reaches; the blocks must be there and in no ring."""
        key = (written.flow.id, tuple(sorted(pace.counts.items())), tuple(sorted(pace.times.items())))
        if key not in self._known:
            self._known[key] = _Ways(written, pace, self).spans
        return self._known[key]

    def of_block(self, name: str, pace: Pace) -> Mapping[str, Span]:
        """Give the span to each exit of a block."""
        return self.of(self.shelf.written(self.shelf.blocks[name]), pace)

    def wished(self, follow: Follow, pace: Pace) -> Span:
        """Give the span of a block that is followed, left by its first exit; nothing takes no time where there is no such way."""
        spans = self.of_block(follow.block, pace.inside(follow))
        return spans.get(next(iter(self.shelf.blocks[follow.block].ends)), _NO_WAY)


_NO_WAY = Span(NOTHING, ())
