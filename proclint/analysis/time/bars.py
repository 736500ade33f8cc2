"""Each window as a bar: what takes time on its longest way, one behind the other, and what is left."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.time.keeping import WindowTime
from proclint.analysis.time.laying import Piece
from proclint.analysis.time.lengths import HANDS, Hand
from proclint.analysis.time.times import Times


class Segment(NamedTuple):
    """A stretch of a bar: the step it belongs to, what is done, when it begins after the opening, and how long it lasts.

    It `is_given` where vehicle or equipment decides how long; it is drawn at its longest then.
    """

    step: str
    words: str
    begins: int
    ms: int
    is_given: bool


class Bar(NamedTuple):
    """A window at one hand: its bounds, the segments of its longest way, and its slack at each hand, quickest first.

    A slack is nothing where there is no longest time or it could not be decided.
    """

    window: str
    at_least: int | None
    at_most: int | None
    hand: Hand
    segments: tuple[Segment, ...]
    slack: tuple[int | None, ...]

    @property
    def ms(self) -> int:
        """How long the segments last together."""
        return sum(each.ms for each in self.segments)


def bars(times: Times, hand: Hand = Hand.TYPICAL) -> tuple[Bar, ...]:
    """Give a bar for each window that is opened and closed, in file order."""
    found = {each.name: _bar(each, hand) for windows in times.windows for each in windows.each}
    return tuple(found[region.window.name] for region in times.marked)


def _bar(window: WindowTime, hand: Hand) -> Bar:
    clock = window.clock
    added = window.sum(hand) if window.windows.limit is None else None
    segments = tuple(_segments(added.pieces, hand)) if added is not None else ()
    return Bar(window.name, clock.least, clock.most, hand, segments, tuple(window.slack(each) for each in HANDS))


def _segments(pieces: tuple[Piece, ...], hand: Hand) -> Iterator[Segment]:
    begins = 0
    for piece in pieces:
        ms = piece.length.worst[hand]
        if piece.step is not None and ms:
            yield Segment(piece.step.name, piece.words, begins, ms, piece.length.is_given)
        begins += ms
