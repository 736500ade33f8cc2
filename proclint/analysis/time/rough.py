"""A rough sum for each window, never too small: where it fits, the slowest hand is in time, and nothing has to be laid out.

Most windows of most files have room enough, and that shows already from the longest times of the lines between the marks.
What has tries, a way back, a block inside or a time that only a caller tells is left to `keeping`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from proclint.analysis.shelf import Written
from proclint.analysis.time.parts import Pace
from proclint.analysis.windows import Region
from proclint.model import Line, Step


@dataclass(slots=True)
class _Sums:
    """The longest times so far: inside a step, up to a closing, from an opening on, and of steps that have no mark."""

    inside: int = 0
    before: int = 0
    behind: int = 0
    through: int = 0

    @property
    def longest(self) -> int:
        """No way from an opening to a closing takes longer."""
        return max(self.inside, self.behind + self.through + self.before)


@dataclass(frozen=True)
class Rough:
    """Rough sums over the steps of one file."""

    written: Written
    pace: Pace

    def fits(self, region: Region) -> bool:
        """Whether a window surely can be kept by any hand; it says no where it cannot tell."""
        window = region.window
        longest = self.longest(region) if window.at_least is None else None
        return longest is not None and (window.at_most is None or longest <= window.at_most)

    def longest(self, region: Region) -> int | None:
        """Give a time than which no way from the opening of a window to its closing is longer; nothing where it cannot tell."""
        if region.window.name not in self._longest:
            self._longest[region.window.name] = self._reckon(region)
        return self._longest[region.window.name]

    def latest(self, outer: Region, inner: Region) -> int | None:
        """Give a time after the opening of one window than which another never opens later.

        It is below zero where that never opens while the first is open, and nothing where it cannot be told.
        """
        if not outer.openers.issuperset(inner.openers):
            return self.longest(outer)
        latest = -1
        for name in inner.openers:
            since: int | None = None
            for line, most in self.lines(self.written.steps[name].step):
                for edge in ("start", "end"):
                    for is_open in _marked(line, outer.window.name, edge):
                        since = 0 if is_open else None
                    if since is not None and True in _marked(line, inner.window.name, edge):
                        latest = max(latest, since)
                    if edge == "start" and since is not None:
                        since += most
        return latest

    @cached_property
    def _longest(self) -> dict[str, int | None]:
        return {}

    @cached_property
    def _lines(self) -> dict[str, list[tuple[Line, int]]]:
        return {}

    def lines(self, step: Step) -> list[tuple[Line, int]]:
        """Give the lines of a step with the most that each takes."""
        if step.name not in self._lines:
            self._lines[step.name] = self.pace.most(step)
        return self._lines[step.name]

    def _reckon(self, region: Region) -> int | None:
        if self.pace.untold:
            return None
        sums = _Sums()
        for at, name in enumerate(region.steps):
            step = self.written.steps[name].step
            is_plain = step.follow is None and not step.ask and step.tries is None
            if not is_plain or self._goes_back(at, region) or not self._add(step, region.window.name, sums):
                return None
        return sums.longest

    def _goes_back(self, at: int, region: Region) -> bool:
        """Whether a way leads back from a step while the window is open."""
        name = region.steps[at]
        if name in region.closers:
            return False
        exits = self.written.steps[name].exits
        return any(leaving.target in region.steps[: at + 1] and not leaving.is_failing for leaving in exits)

    def _add(self, step: Step, window: str, sums: _Sums) -> bool:
        """Add what the rounds of a step take; say whether that was possible."""
        lines, rounds = self.lines(step), self.pace.rounds(step)[1]
        marks, times = _cut(lines, window)
        if not marks:
            sums.through += times[0] * rounds
            return True
        if rounds > 1 and marks[-1]:
            return False
        for is_open, taken in zip(marks[:-1], times[1:-1], strict=True):
            sums.inside = max(sums.inside, taken if is_open else 0)
        if not marks[0]:
            sums.before = max(sums.before, times[0] + (rounds - 1) * sum(times))
        if marks[-1]:
            sums.behind = max(sums.behind, times[-1])
        # Opened twice in one step is a fault of its own, told elsewhere.
        return (True, True) not in pairwise(marks)


def _cut(lines: list[tuple[Line, int]], window: str) -> tuple[list[bool], list[int]]:
    """Cut the time of a step at the marks of a window: whether each opens it, and the times before, between and behind them."""
    marks: list[bool] = []
    times = [0]
    for line, most in lines:
        if not line.opens and not line.closes:
            times[-1] += most
            continue
        for edge in ("start", "end"):
            for is_open in _marked(line, window, edge):
                marks.append(is_open)
                times.append(0)
            if edge == "start":
                times[-1] += most
    return marks, times


def _marked(line: Line, window: str, edge: str) -> Iterator[bool]:
    """Give the marks of a window at the start or the end of a line; one closes before another opens."""
    if any(mark.window == window and mark.edge == edge for mark in line.closes):
        yield False
    if any(mark.window == window and mark.edge == edge for mark in line.opens):
        yield True
