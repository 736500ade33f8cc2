"""The timed steps of a file laid out as stretches of time, with the points at which each window opens and closes.

Windows that can be open together are laid out together, from the steps that open one, along all ways on which none is given up. A
step that is entered again, with `tries` or in rounds, has points of its own each time. What leaves by failing gives its window
up, and what is late is asked for nothing more.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias

from proclint.analysis.shelf import Written
from proclint.analysis.time.lengths import NOTHING, Hand, Length
from proclint.analysis.time.parts import Pace, Part
from proclint.analysis.time.spans import Spans
from proclint.analysis.time.stn import LIMITS, Open
from proclint.analysis.time.sums import Clock, Course, Stretch, course
from proclint.analysis.windows import Region
from proclint.model import Follow, Line, Mark, Step
from proclint.source import Place

# How often each step with `tries` has been entered, and a step with these numbers.
_Counts: TypeAlias = tuple[tuple[str, int], ...]
_Visit: TypeAlias = tuple[str, _Counts]


class Piece(NamedTuple):
    """What takes time between two points: a line of a step or its sign, a block, or nothing at all, which has no step.

    `is_sign` where it is not the line that takes it, but its sign.
    """

    start: int
    end: int
    length: Length
    step: Step | None = None
    line: Line | None = None
    is_sign: bool = False

    @property
    def at(self) -> Place | None:
        """Where it stands; nothing for what takes no time."""
        if self.line is not None:
            return self.line.at
        return self.step.at if self.step is not None else None

    @property
    def is_wait(self) -> bool:
        """Whether the file says how long it lasts because it is to last so long: a wait, a key left or a button kept."""
        line = self.line
        if line is None or self.is_sign:
            return False
        return line.verb.startswith("wait-") or line.action.takes in line.words

    @property
    def words(self) -> str:
        """What a reader calls it."""
        if self.line is None:
            return self.step.words if self.step is not None else ""
        return f"until {self.line.expect}" if self.is_sign and self.line.expect else self.line.text


class Layout(NamedTuple):
    """Windows that can be open together, and all that takes time while one of them is.

    `limit` is there where not all of it could be laid out.
    """

    regions: tuple[Region, ...]
    pieces: tuple[Piece, ...]
    clocks: tuple[Clock, ...]
    limit: Open | None

    def course(self, hand: Hand) -> Course:
        """Give the stretches and clocks for a hand. Raises ValueError where they form a loop."""
        return course((_stretch(piece, index, hand) for index, piece in enumerate(self.pieces)), self.clocks)


def _stretch(piece: Piece, index: int, hand: Hand) -> Stretch:
    length = piece.length
    if length.is_given:
        return Stretch(piece.start, piece.end, length.least, length.most, is_given=True, tag=index)
    return Stretch(piece.start, piece.end, length.worst[hand], length.cap, tag=index)


def together(regions: Iterable[Region]) -> Iterator[tuple[Region, ...]]:
    """Put regions together that have a step in common."""
    groups: list[tuple[set[str], list[Region]]] = []
    for region in regions:
        steps, found = set(region.steps), [region]
        for group in [each for each in groups if not each[0].isdisjoint(steps)]:
            groups.remove(group)
            steps |= group[0]
            found = [*group[1], *found]
        groups.append((steps, found))
    return (tuple(found) for _, found in groups)


def lay_out(regions: tuple[Region, ...], written: Written, pace: Pace, spans: Spans) -> Layout:
    """Lay out windows that can be open together."""
    layer = _Layer(written, pace, spans, frozenset(name for region in regions for name in region.steps))
    for region in regions:
        layer.opened[region.window.name] = set()
        layer.closed[region.window.name] = set()
    layer.run(dict.fromkeys(name for region in regions for name in region.steps if name in region.openers))
    return Layout(regions, tuple(layer.pieces), tuple(_clock(region, layer) for region in regions), layer.limit)


def _clock(region: Region, layer: "_Layer") -> Clock:
    window = region.window
    starts, stops = frozenset(layer.opened[window.name]), frozenset(layer.closed[window.name])
    return Clock(starts, stops, window.at_least, window.at_most, window.name)


@dataclass(slots=True)
class _Layer:
    """Lays steps one visit after the other; `opened` and `closed` gather the points of each window."""

    written: Written
    pace: Pace
    spans: Spans
    steps: frozenset[str]
    pieces: list[Piece] = field(default_factory=list)
    opened: dict[str, set[int]] = field(default_factory=dict)
    closed: dict[str, set[int]] = field(default_factory=dict)
    points: int = 0
    limit: Open | None = None

    def run(self, openers: Iterable[str]) -> None:
        """Lay all visits that begin at a step that opens a window."""
        entries = {(name, self._counted(name, ())): self.point() for name in openers}
        waiting = list(entries)
        for visit in waiting:
            if self.points > LIMITS.points:
                self.limit = Open("points", LIMITS.points)
                break
            for end, following in self.leave(visit, entries[visit]):
                if following not in entries:
                    entries[following] = self.point()
                    waiting.append(following)
                self.piece(end, NOTHING, to=entries[following])

    def point(self) -> int:
        """Make a point."""
        self.points += 1
        return self.points

    def piece(self, start: int, length: Length, *, to: int = 0, step: Step | None = None, line: Line | None = None) -> int:
        """Lay what takes time; give the point at which it ends. The sign of a line is laid by `sign`."""
        end = to or self.point()
        self.pieces.append(Piece(start, end, length, step, line))
        if not length.is_told and self.limit is None:
            self.limit = Open("a time that only the caller of the block tells", 0)
        return end

    def leave(self, visit: _Visit, start: int) -> Iterator[tuple[int, _Visit]]:
        """Lay a step; give each visit that follows without a failure, with the point from which it does."""
        name, counts = visit
        each = self.written.steps[name]
        if self.pace.is_untold(each.step):
            self.limit = Open("keys of which only the caller of the block tells how many", 0)
        ends = [self.rounds(each.step, start, count) for count in dict.fromkeys(self.pace.rounds(each.step))]
        for leaving in each.exits:
            if not leaving.is_failing and leaving.target in self.steps:
                after = self._counted(leaving.target, counts)
                if not self._is_spent(leaving.target, after):
                    yield from ((end, (leaving.target, after)) for end in ends)

    def _counted(self, name: str, counts: _Counts) -> _Counts:
        """Count an entry of a step, if its entries are counted."""
        if self.written.steps[name].step.tries is None:
            return counts
        known = dict(counts)
        return tuple(sorted({**known, name: known.get(name, 0) + 1}.items()))

    def _is_spent(self, name: str, counts: _Counts) -> bool:
        tries = self.written.steps[name].step.tries
        return tries is not None and dict(counts)[name] > tries

    def rounds(self, step: Step, at: int, count: int) -> int:
        """Lay a number of rounds of a step; give the point at which it is done."""
        for number in range(count):
            if self.points > LIMITS.points:
                return at
            at = self.round(step, at, is_last=number == count - 1)
        return at

    def round(self, step: Step, at: int, *, is_last: bool) -> int:
        """Lay a round of a step; a window that no line of it opens before is closed in the last round only."""
        if step.follow is not None:
            return self.block(step, step.follow, at)
        opened: set[str] = set()
        for part in self.pace.parts(step):
            opened.update(mark.window for mark in part.last.opens)
            closing = tuple(mark for mark in part.last.closes if is_last or mark.window in opened)
            at = self.part(part, step, at, closing)
        return self.piece(at, self.pace.question, step=step) if step.ask else at

    def block(self, step: Step, follow: Follow, at: int) -> int:
        """Lay a block as one thing that others decide, left by its wished exit."""
        span = self.spans.wished(follow, self.pace)
        if span.limit is not None:
            self.limit = span.limit
        return self.piece(at, span.length, step=step)

    def part(self, part: Part, step: Step, at: int, closing: tuple[Mark, ...]) -> int:
        """Lay a line with its rounds, its sign and its marks; one that may be left out has a way round it."""
        before = at
        if part.last.only_if:
            at = self.piece(at, NOTHING)
        self.mark(part.last.opens, closing, at, edge="start")
        for _ in range(part.rounds):
            at = self.once(part, step, at)
        if part.sign is not None:
            at = self.sign(at, part.sign, step, part.last)
        self.mark(part.last.opens, closing, at, edge="end")
        if part.last.only_if:
            at = self.piece(at, NOTHING)
            self.piece(before, NOTHING, to=at)
        return at

    def once(self, part: Part, step: Step, at: int) -> int:
        """Lay what a line holds, one after the other, or as one where it has one time for all."""
        if part.whole is not None:
            return self.piece(at, part.whole, step=step, line=part.last)
        for line, length in part.lines:
            at = self.piece(at, length, step=step, line=line)
        return at

    def sign(self, at: int, length: Length, step: Step, line: Line) -> int:
        """Lay the time in which the sign of a line comes."""
        end = self.point()
        self.pieces.append(Piece(at, end, length, step, line, is_sign=True))
        return end

    def mark(self, opening: tuple[Mark, ...], closing: tuple[Mark, ...], at: int, *, edge: str) -> None:
        """Note which windows open and close at a point."""
        for marks, points in ((opening, self.opened), (closing, self.closed)):
            for mark in marks:
                if mark.edge == edge and mark.window in points:
                    points[mark.window].add(at)
