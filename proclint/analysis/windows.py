"""Between which steps each window is open."""

from collections import deque
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.model import Flow, Step, Window


class Region(NamedTuple):
    """A window and the steps during which it can be open, in file order.

    `openers` are the steps whose first mark opens it: to enter them is to pass the beginning. `closers` are those that leave it
    closed. `late` is where an overrun leads.
    """

    window: Window
    openers: frozenset[str]
    closers: frozenset[str]
    steps: tuple[str, ...]
    late: str


class _Marked(NamedTuple):
    """A step that opens or closes a window: whether its first mark opens, and whether it is open when the step is done."""

    step: Step
    opens_first: bool
    stays_open: bool


def regions(flow: Flow, targets: Mapping[str, tuple[str, ...]]) -> Iterator[Region]:
    """Give the region of each window; `targets` names the steps that can follow each step."""
    marking = [step for step in flow.steps.values() if any(line.opens or line.closes for line in step.lines)]
    for window in flow.windows.values():
        marked = {step.name: found for step in marking if (found := _marks(step, window.name)) is not None}
        openers = frozenset(name for name, each in marked.items() if each.opens_first)
        closers = frozenset(name for name, each in marked.items() if not each.stays_open)
        starts = frozenset(name for name, each in marked.items() if each.stays_open)
        stops = frozenset(name for name, each in marked.items() if not each.opens_first)
        inside = openers | closers | _between(targets, starts, stops)
        steps = tuple(name for name in flow.steps if name in inside)
        yield Region(window, openers, closers, steps, window.late or _late_of(closers, marked))


def _marks(step: Step, window: str) -> _Marked | None:
    """Read the marks of a window in the order of a step's lines; one line closes before it opens."""
    opens = []
    for line in step.lines:
        opens += [False for mark in line.closes if mark.window == window]
        opens += [True for mark in line.opens if mark.window == window]
    return _Marked(step, opens[0], opens[-1]) if opens else None


def _late_of(closers: frozenset[str], marked: Mapping[str, _Marked]) -> str:
    for name, each in marked.items():
        fails = each.step.way("fails")
        if name in closers and fails is not None:
            return fails.target
    return ""


def _between(targets: Mapping[str, tuple[str, ...]], starts: frozenset[str], stops: frozenset[str]) -> frozenset[str]:
    """Give the steps on some way from a start to a stop."""
    sources: dict[str, list[str]] = {}
    for source, following in targets.items():
        for target in following:
            sources.setdefault(target, []).append(source)
    onward = _spread(starts, targets, stop=stops)
    back = _spread(stops, sources, stop=starts)
    return frozenset(onward & back)


def _spread(starts: frozenset[str], following: Mapping[str, tuple[str, ...] | list[str]], *, stop: frozenset[str]) -> set[str]:
    seen = set(starts)
    queue = deque(starts)
    while queue:
        for name in following.get(queue.popleft(), ()):
            if name not in seen:
                seen.add(name)
                if name not in stop:
                    queue.append(name)
    return seen
