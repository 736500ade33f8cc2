"""What a watch shows on one way: how long it has taken, and the windows that run."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.time.lengths import NOTHING, Length
from proclint.analysis.time.parts import Pace
from proclint.model import Mark, Step, Window


class Elapsed(NamedTuple):
    """A time in milliseconds: at the quickest, as is usual, and at the slowest."""

    quickest: int = 0
    typical: int = 0
    slowest: int = 0

    def plus(self, length: Length) -> "Elapsed":
        """Give the time after something that takes a while."""
        return Elapsed(self.quickest + length.least, self.typical + length.usual, self.slowest + length.most)


NO_TIME = Elapsed()


class Running(NamedTuple):
    """A window, the flow to which it belongs, and how long it has been open."""

    of: object
    window: Window
    elapsed: Elapsed = NO_TIME


class Marks(NamedTuple):
    """The windows that a line opens and closes, and all windows of its flow."""

    opens: tuple[Mark, ...]
    closes: tuple[Mark, ...]
    windows: Mapping[str, Window]


class Watch(NamedTuple):
    """The time since the beginning, the windows that are open, and those that the last step closed."""

    elapsed: Elapsed = NO_TIME
    running: tuple[Running, ...] = ()
    closed: tuple[Running, ...] = ()

    def during(self, length: Length) -> "Watch":
        """Give the watch after something that takes a while."""
        running = tuple(each._replace(elapsed=each.elapsed.plus(length)) for each in self.running)
        return self._replace(elapsed=self.elapsed.plus(length), running=running)

    def ended(self, ends: Callable[[Running], bool]) -> "Watch":
        """Give the watch with some windows closed."""
        closing = tuple(filter(ends, self.running))
        return self.given_up(ends)._replace(closed=(*self.closed, *closing))

    def given_up(self, ends: Callable[[Running], bool]) -> "Watch":
        """Give the watch without some windows, which hold no longer."""
        return self._replace(running=tuple(each for each in self.running if not ends(each)))

    def marked(self, of: object, marks: Marks, edge: str) -> "Watch":
        """Give the watch after the marks at the start or the end of a line: one closes before it opens."""
        closing, opening = ({mark.window for mark in each if mark.edge == edge} for each in (marks.closes, marks.opens))
        watch = self.ended(lambda each: each.of is of and each.window.name in closing)
        watch = watch.given_up(lambda each: each.of is of and each.window.name in opening)
        begun = tuple(Running(of, window) for name, window in marks.windows.items() if name in opening)
        return watch._replace(running=(*watch.running, *begun))

    def done(self, step: Step, pace: Pace, of: object, *, windows: Mapping[str, Window], is_last: bool) -> "Watch":
        """Give the watch after a round of a step; what was opened before it is closed in the last round only."""
        watch, opened = self._replace(closed=()), set[str]()
        for part in pace.parts(step):
            opened.update(mark.window for mark in part.last.opens)
            closes = tuple(mark for mark in part.last.closes if is_last or mark.window in opened)
            marks = Marks(part.last.opens, closes, windows)
            watch = watch.marked(of, marks, "start").during(part.length).marked(of, marks, "end")
        return watch.during(pace.question) if step.ask else watch

    def failed(self, step: Step, pace: Pace) -> "Watch":
        """Give the watch after a step that failed at some line, the first that can at the soonest."""
        length = pace.step(step)
        return self._replace(closed=()).during(length._replace(least=_least_to_fail(step, pace)))

    def late(self, step: Step, pace: Pace, over: Running) -> "Watch":
        """Give the watch when a window's time has passed during a step, at whatever line."""
        doing = pace.step(step).or_nothing
        left = [max((over.window.at_most or 0) - run, 0) for run in over.elapsed.plus(doing)]
        waiting = NOTHING._replace(least=left[0], usual=left[1], most=left[2])
        return self._replace(closed=()).during(doing).during(waiting)


def _least_to_fail(step: Step, pace: Pace) -> int:
    """Give how long a step takes at least until something in it can have failed."""
    taken = 0
    for part in pace.parts(step):
        taken += part.length.least
        if any(fails_by_itself(line) for line, _ in part.lines):
            break
    return taken
