"""Where the lines of a chart run beside its rows: a lane for each row that is led to, those side by side that would touch."""

from collections.abc import Iterable
from typing import NamedTuple

from proclint.render.review.leaf import Place


class Lane(NamedTuple):
    """A line that leads to a row from others: its number, counted from the rows outwards."""

    number: int
    target: int
    sources: tuple[int, ...]

    @property
    def top(self) -> int:
        """The first row that it touches."""
        return min(self.target, *self.sources)

    @property
    def bottom(self) -> int:
        """The last row that it touches."""
        return max(self.target, *self.sources)


def lanes_of(places: Iterable[Place]) -> tuple[Lane, ...]:
    """Give the lanes, short ones next to the rows; no two with one number touch the same row."""
    sources: dict[int, list[int]] = {}
    for row, place in enumerate(places):
        for arrow in place.arrows:
            if arrow.row is not None:
                sources.setdefault(arrow.row, []).append(row)
    lines = [Lane(0, target, tuple(rows)) for target, rows in sources.items()]
    found: list[Lane] = []
    for line in sorted(lines, key=lambda each: (each.bottom - each.top, each.target)):
        taken = {each.number for each in found if each.top <= line.bottom and line.top <= each.bottom}
        number = next(number for number in range(len(lines)) if number not in taken)
        found.append(Lane(number, line.target, line.sources))
    return tuple(found)
