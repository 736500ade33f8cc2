"""What a watch shows after each outcome of a spot: what was done took its time, and windows began, ended or were given up."""

from proclint.analysis.states.spots import Frame, Kind, Spot
from proclint.analysis.states.steps import LATE
from proclint.analysis.time.watch import Running, Watch
from proclint.analysis.windows import Region
from proclint.model import Step


def watched(watch: Watch, spot: Spot, outcome: str, *, target: Spot, is_failing: bool) -> Watch:
    """Give the watch after an outcome of a spot that leads to another."""
    step = spot.step
    after = watch if step is None else _taken(watch, (spot, step), outcome, is_round=spot.goes_on(target), is_failing=is_failing)
    here, there = spot.levels, target.levels

    def is_left(each: Running) -> bool:
        return there.get(_frame(each), "") not in _region(each).steps

    def is_closed(each: Running) -> bool:
        # Opened before rounds and closed in the last of them, which shows only when they are left.
        return is_left(each) and here.get(_frame(each), "") in _region(each).closers

    if is_failing or outcome.startswith(LATE):
        owner = spot.frame if step is not None or spot.frame.caller is None else spot.frame.caller.frame
        return after.given_up(lambda each: each.of is owner or is_left(each))
    return after.ended(is_closed).given_up(is_left)


def _taken(watch: Watch, at: tuple[Spot, Step], outcome: str, *, is_round: bool, is_failing: bool) -> Watch:
    """Give the watch after what was done at a spot."""
    spot, step = at
    frame, pace, windows = spot.frame, spot.frame.pace, spot.frame.written.flow.windows
    if spot.kind is not Kind.BODY or not (step.lines or step.ask):
        return watch
    if outcome.startswith(LATE):
        window = windows[outcome.removeprefix(LATE)]
        running = (each for each in watch.running if each.of is frame and each.window is window)
        return watch.late(step, pace, next(running, Running(frame, window)))
    if is_failing:
        return watch.failed(step, pace)
    return watch.done(step, pace, frame, windows=windows, is_last=not is_round)


def _frame(each: Running) -> Frame:
    assert isinstance(each.of, Frame)
    return each.of


def _region(each: Running) -> Region:
    return next(region for region in _frame(each).written.regions if region.window is each.window)
