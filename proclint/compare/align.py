"""The old version with the names of the new one, so that everything after compares by name alone."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.compare.matching import Match, matched
from proclint.model import End, Flow, Line, Mark, Step, Window


class Aligned(NamedTuple):
    """The old version under the new names, and what was matched. The names of `steps`, `ends` and `windows` are as written."""

    flow: Flow
    steps: Match
    ends: Match
    windows: Match


def align(old: Flow, new: Flow) -> Aligned:
    """Match steps, endings or exits, and windows; give the old version under the names of the new one."""
    shared = frozenset((*old.steps, *old.ends)) & frozenset((*new.steps, *new.ends))
    steps = matched(_said_of_steps(old, new, shared), _said_of_steps(new, old, shared))
    ends = matched(_said_of_ends(old, new), _said_of_ends(new, old))
    windows = matched(*({name: _said_of_window(each, flow) for name, each in flow.windows.items()} for flow in (old, new)))
    called = dict((*steps.pairs, *ends.pairs))
    return Aligned(_renamed(old, called, dict(windows.pairs)), steps, ends, windows)


def _said_of_steps(flow: Flow, other: Flow, shared: frozenset[str]) -> dict[str, Counter[str]]:
    """Say of each step what tells it from others.

    Of one whose name an ending bears in the other version nothing is said: renamed, two things would bear one name.
    """
    return {name: Counter() if name in other.ends else Counter(said_of_step(step, shared)) for name, step in flow.steps.items()}


def said_of_step(step: Step, shared: frozenset[str] = frozenset()) -> Iterator[str]:
    """Say what tells a step from others; of its targets only those in `shared`, which both versions know."""
    yield from (_in_words(line) for line in step.lines)
    yield from (f"way {way.outcome}" for way in step.ways)
    yield from (f"to {way.target}" for way in step.ways if way.target in shared)
    yield from (f"caution {word.text}" for word in step.cautions)
    yield from (f"says {text}" for text in (step.instruction, step.ask, step.prompt.says if step.prompt else "") if text)
    if step.follow is not None:
        yield from (f"follow {step.follow.block}", f"given {sorted(step.follow.given.items())}")


def _in_words(line: Line) -> str:
    return " ".join((line.verb, *(word for _, word in sorted(line.words.items()))))


def _said_of_ends(flow: Flow, other: Flow) -> dict[str, Counter[str]]:
    arriving: dict[str, list[str]] = {}
    for step in flow.steps.values():
        for way in step.ways:
            arriving.setdefault(way.target, []).append(f"from {step.name} {way.outcome}")
    return {
        name: Counter() if name in other.steps else Counter((*_of_end(end), *arriving.get(name, ())))
        for name, end in flow.ends.items()
    }


def _of_end(end: End) -> Iterator[str]:
    yield from (text for text in (end.kind, end.through, *end.tell.split()) if text)


def _said_of_window(window: Window, flow: Flow) -> Counter[str]:
    said = [f"most {window.at_most}", f"least {window.at_least}", f"late {window.late}"]
    for step in flow.steps.values():
        for line in step.lines:
            said += [f"opens {step.name} {_in_words(line)}" for mark in line.opens if mark.window == window.name]
            said += [f"closes {step.name} {_in_words(line)}" for mark in line.closes if mark.window == window.name]
    return Counter(said)


def _renamed(flow: Flow, called: Mapping[str, str], windows: Mapping[str, str]) -> Flow:
    if all(old == new for old, new in (*called.items(), *windows.items())):
        return flow
    steps = (_step(step, called, windows) for step in flow.steps.values())
    named = (each._replace(name=windows.get(each.name, each.name)) for each in flow.windows.values())
    ends = (each._replace(name=called.get(each.name, each.name)) for each in flow.ends.values())
    return flow._replace(
        steps={step.name: step for step in steps},
        ends={end.name: end for end in ends},
        windows={each.name: each._replace(late=called.get(each.late, each.late)) for each in named},
    )


def _step(step: Step, called: Mapping[str, str], windows: Mapping[str, str]) -> Step:
    return step._replace(
        name=called.get(step.name, step.name),
        lines=tuple(_line(line, windows) for line in step.lines),
        ways=tuple(way._replace(target=called.get(way.target, way.target)) for way in step.ways),
    )


def _line(line: Line, windows: Mapping[str, str]) -> Line:
    return line._replace(opens=_marks(line.opens, windows), closes=_marks(line.closes, windows))


def _marks(marks: tuple[Mark, ...], windows: Mapping[str, str]) -> tuple[Mark, ...]:
    return tuple(mark._replace(window=windows.get(mark.window, mark.window)) for mark in marks)
