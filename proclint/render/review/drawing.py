"""The lines of a chart and the bars of windows as SVG, with no words that are not beside them too.

A row draws its own stretch of each line, so that the chart may break between rows. Lines down are whole, lines up are broken.
"""

from collections.abc import Iterable, Iterator

from proclint.analysis.time.bars import Bar
from proclint.render.bars import letters_of, name_of, segments_of
from proclint.render.review.lanes import Lane

_LANE = 8
_EDGE = 12
# How far below the top of a row lines come in and go out.
_IN, _OUT = 14, 26
_BAR = 28
# A letter needs so much of a bar.
_LETTER = 3


def width_of(lanes: Iterable[Lane]) -> int:
    """Give how wide the lines are drawn."""
    return _EDGE + _LANE * max((lane.number + 1 for lane in lanes), default=0)


def lines_at(row: int, lanes: tuple[Lane, ...]) -> str:
    """Draw the stretches of all lanes that pass a row."""
    drawn = "".join(part for lane in lanes if lane.top <= row <= lane.bottom for part in _lane(row, lane))
    return f'<svg class="lines" width="{width_of(lanes)}" aria-hidden="true">{drawn}</svg>' if drawn else ""


def _lane(row: int, lane: Lane) -> Iterator[str]:
    x = _EDGE + _LANE * lane.number
    here = _IN if row == lane.target else _OUT
    if row > lane.top:
        # What comes from above goes down to the row, what goes up passes on.
        yield _line((x, "0"), (x, str(here) if row == lane.bottom else "100%"), is_up=row > lane.target)
    if row < lane.bottom and row in (lane.top, lane.target):
        yield _line((x, str(here)), (x, "100%"), is_up=row >= lane.target)
    if row in lane.sources:
        yield _line((0, str(_OUT)), (x, str(_OUT)), is_up=row > lane.target)
    if row == lane.target:
        yield f'<path d="M{x} {_IN}H8"/><path class="head" d="M0 {_IN}l9-5v10z"/>'


def _line(start: tuple[int, str], end: tuple[int, str], *, is_up: bool) -> str:
    kind = ' class="up"' if is_up else ""
    return f'<line{kind} x1="{start[0]}" y1="{start[1]}" x2="{end[0]}" y2="{end[1]}"/>'


def onward() -> str:
    """Draw the arrow from a row to the next."""
    head = '<svg x="50%" y="100%" overflow="visible"><path class="head" d="M0 0l-5-9h10z"/></svg>'
    return f'<svg class="onward" aria-hidden="true"><line x1="50%" y1="0" x2="50%" y2="100%"/>{head}</svg>'


def bar_of(bar: Bar) -> str:
    """Draw a window: a hand's time plain, that of vehicle or equipment hatched, the end of the window as a line."""
    end = max(bar.ms, bar.at_most or 0) or 1
    segments = segments_of(bar)
    letters = letters_of(segments)
    drawn = []
    for each in segments:
        x, wide = 100 * each.begins / end, 100 * each.ms / end
        kind = "given" if each.is_given else "hand"
        drawn.append(f'<rect class="{kind}" x="{x:.2f}%" y="3" width="{wide:.2f}%" height="{_BAR - 6}"/>')
        letter = letters.get(name_of(each), "")
        if wide >= _LETTER and letter:
            drawn.append(f'<text x="{x + wide / 2:.2f}%" y="{_BAR - 9}" text-anchor="middle">{letter}</text>')
    if bar.at_most is not None:
        x = 100 * bar.at_most / end
        drawn.append(f'<line class="limit" x1="{x:.2f}%" y1="0" x2="{x:.2f}%" y2="{_BAR}"/>')
    return f'<svg class="bar" height="{_BAR}" aria-hidden="true">{"".join(drawn)}</svg>'
