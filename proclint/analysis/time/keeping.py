"""Whether a person can keep each window, at the quickest, the typical and the slowest hand, and by how much.

First by sums, the slowest hand first: what it can keep, any other can. Only where a window has a shortest time are all bounds
of the windows that can be open together looked at as one network (see `joined`). What cannot be kept is told by the way whose
sum shows it, or by the smallest set of bounds.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.shelf import Written
from proclint.analysis.time.joined import joined
from proclint.analysis.time.laying import Layout, Piece, lay_out
from proclint.analysis.time.lengths import HANDS, Hand
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.slack import slack
from proclint.analysis.time.spans import Spans
from proclint.analysis.time.stn import Conflict, Kind, Open, Verdict
from proclint.analysis.time.stnu import Network, controllable
from proclint.analysis.time.sums import Clock, Course, longest
from proclint.analysis.windows import Region
from proclint.model import Step


class Added(NamedTuple):
    """The longest way from the opening of a window to its closing: all that takes time on it, and its sum."""

    ms: int
    pieces: tuple[Piece, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps on the way, each once in a row."""
        named = [piece.step for piece in self.pieces if piece.step is not None]
        return tuple(step for index, step in enumerate(named) if index == 0 or named[index - 1] is not step)


class Kept(NamedTuple):
    """One side of a bound in a conflict: what it says, of a line or of a window, with its time."""

    kind: Kind
    ms: int
    piece: Piece | None
    window: str


class Clash(NamedTuple):
    """Bounds that cannot all be kept at a hand, and every quicker one up to it can; how much is missing in all."""

    hand: Hand
    bounds: tuple[Kept, ...]
    short: int

    @property
    def windows(self) -> tuple[str, ...]:
        """The windows among them."""
        return tuple(dict.fromkeys(bound.window for bound in self.bounds if bound.window))


@dataclass(frozen=True)
class Windows:
    """Windows that can be open together."""

    regions: tuple[Region, ...]
    written: Written
    pace: Pace
    spans: Spans

    @cached_property
    def layout(self) -> Layout:
        """All that takes time while one of them is open."""
        return lay_out(self.regions, self.written, self.pace, self.spans)

    @cached_property
    def _courses(self) -> dict[Hand, Course]:
        return {}

    def course(self, hand: Hand) -> Course:
        """Give all that takes time at a hand; nothing where rounds have no number."""
        if hand not in self._courses:
            self._courses[hand] = self.layout.course(hand)
        return self._courses[hand]

    @cached_property
    def limit(self) -> Open | None:
        """Why it could not be decided, if so."""
        return self.no_sums or (self._searched if isinstance(self._searched, Open) else None)

    @cached_property
    def no_sums(self) -> Open | None:
        """Why not even sums could be made, if so."""
        if self.layout.limit is not None:
            return self.layout.limit
        try:
            self.course(Hand.SLOWEST)
        except ValueError:
            return Open("rounds that no number ends", 0)
        return None

    @cached_property
    def each(self) -> "tuple[WindowTime, ...]":
        """The windows one by one."""
        pairs = zip(self.layout.regions, self.layout.clocks, strict=True)
        return tuple(WindowTime(region, clock, self) for region, clock in pairs)

    @property
    def has_least(self) -> bool:
        """Whether one of them has a shortest time, so that sums are not enough."""
        return any(clock.least is not None for clock in self.layout.clocks)

    @property
    def undecided(self) -> tuple[Region, ...]:
        """Those that could not be decided: all of them, or those that have a shortest time where sums decide the others."""
        if self.limit is None:
            return ()
        return tuple(region for region in self.regions if self.no_sums is not None or region.window.at_least is not None)

    @property
    def is_excused(self) -> bool:
        """Whether a clash is one of the slowest hand only, and each window of it has a way for who is late."""
        late = {region.window.name: region.late for region in self.regions}
        clash = self.clash
        return clash is not None and clash.hand is Hand.SLOWEST and all(late[name] for name in clash.windows)

    @property
    def clash(self) -> Clash | None:
        """The bounds that cannot all be kept though each window by itself can, at the quickest hand at which that is so."""
        return self._searched if isinstance(self._searched, Clash) else None

    @cached_property
    def _searched(self) -> Clash | Open | None:
        found = None
        for hand in reversed(HANDS) if self.has_least and self.no_sums is None else ():
            # What sums refuse is told by them.
            if any(window.is_too_long(hand) for window in self.each):
                continue
            verdict = self._verdict(hand)
            if isinstance(verdict, Open):
                return verdict
            if not isinstance(verdict, Conflict):
                break
            found = Clash(hand, tuple(self._bounds(verdict)), verdict.short)
        return found

    def _verdict(self, hand: Hand) -> Verdict:
        network = joined(self.course(hand))
        return network if isinstance(network, Open) else controllable(network)

    def _bounds(self, conflict: Conflict) -> Iterator[Kept]:
        for leg in conflict.cycle:
            if isinstance(leg.tag, int):
                yield Kept(leg.kind, abs(leg.by), self.layout.pieces[leg.tag], "")
            else:
                yield Kept(leg.kind, abs(leg.by), None, str(leg.tag))

    def slack(self, clock: Clock, hand: Hand) -> int | None:
        """Give by how much a window could be shorter at a hand; nothing where it has no longest time or it was not decided."""
        if clock.most is None or self.limit is not None:
            return None
        if not self.has_least:
            found = longest(self.course(hand), clock)
            return None if found is None else clock.most - found.ms
        left = slack(self._network(hand), clock.tag)
        return left if isinstance(left, int) else None

    def _network(self, hand: Hand) -> Network:
        network = joined(self.course(hand))
        assert isinstance(network, Network)
        return network


@dataclass(frozen=True)
class WindowTime:
    """One window with the time that it takes."""

    region: Region
    clock: Clock
    windows: Windows

    @property
    def name(self) -> str:
        """The window's name."""
        return self.region.window.name

    @cached_property
    def _sums(self) -> dict[Hand, Added | None]:
        return {}

    def sum(self, hand: Hand) -> Added | None:
        """Give the longest way from opening to closing at a hand; nothing where no way leads there, or it was not decided."""
        if hand not in self._sums:
            found = longest(self.windows.course(hand), self.clock)
            pieces = self.windows.layout.pieces
            self._sums[hand] = None if found is None else Added(found.ms, tuple(pieces[int(str(each.tag))] for each in found.way))
        return self._sums[hand]

    @cached_property
    def broken_at(self) -> Hand | None:
        """The quickest hand at which some way is too long; nothing where even the slowest is in time."""
        found = None
        for hand in reversed(HANDS):
            if not self.is_too_long(hand):
                break
            found = hand
        return found

    def is_too_long(self, hand: Hand) -> bool:
        """Whether some way is longer than the window at a hand."""
        added = self.sum(hand) if self.clock.most is not None else None
        return added is not None and self.clock.most is not None and added.ms > self.clock.most

    @property
    def is_excused(self) -> bool:
        """Whether only the slowest hand is too slow, and there is a way for who is late."""
        return self.broken_at is Hand.SLOWEST and bool(self.region.late)

    @property
    def outwaited(self) -> Piece | None:
        """What is to last so long by itself that nothing else fits in, as nobody can say otherwise than the file."""
        added, most = self.sum(Hand.SLOWEST), self.clock.most
        for piece in added.pieces if added is not None and most is not None else ():
            if most is not None and piece.is_wait and piece.length.most >= most:
                return piece
        return None

    def slack(self, hand: Hand) -> int | None:
        """Give by how much the window could be shorter at a hand, in milliseconds; below zero by how much it is too short."""
        return self.windows.slack(self.clock, hand)
