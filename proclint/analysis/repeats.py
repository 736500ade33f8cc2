"""Second tries: at which nothing is different from the first, and of timed parts that the vehicle still counts.

Both are read from the lines as written. A block that is followed on the way back may change anything, and so may what the
catalogue has no word for: there, nothing is said.
"""

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from typing import NamedTuple

from proclint.analysis.graph import Edge, StepGraph
from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.shelf import Written, WrittenStep
from proclint.analysis.windows import Region
from proclint.catalogue import Atom, Catalogue, Effect, Form
from proclint.model import Line, Step

_FREE_WORDS = "text"
_BY_HAND = "technician"


class Retry(NamedTuple):
    """A step that is tried again: the steps from its failing back to it, the step itself first and last."""

    names: tuple[str, ...]

    @property
    def last(self) -> str:
        """The step that leads back."""
        return self.names[-2]

    @property
    def again(self) -> str:
        """The step that is tried again."""
        return self.names[-1]


class TimedRetry(NamedTuple):
    """A timed part that is begun again: its region, and the steps from the one that was left to the one that opens it."""

    region: Region
    retry: Retry


def idle_retries(written: Written) -> Iterator[Retry]:
    """Give the steps that equipment or vehicle refuses and that are tried again while nothing was done, one way a step."""
    timed = {name for region in written.regions for name in region.steps}
    for name, each in written.steps.items():
        if name not in timed and _begins_idle(each.step):
            back = _way_back(written, _failing(each), frozenset((name,)), _is_idle_step)
            if back is not None:
                yield Retry((name, *back))


def retries_without_reset(written: Written, catalogue: Catalogue) -> Iterator[TimedRetry]:
    """Give the timed parts that are begun again while nothing of what they did was undone and no time passed, one way each.

    A part that is come to again through another such part is not told beside that one.
    """
    found = tuple(_without_reset(written, catalogue))
    again = {each.retry.again for each in found}
    yield from (each for each in found if again.isdisjoint(each.retry.names[1:-1]))


def _without_reset(written: Written, catalogue: Catalogue) -> Iterator[TimedRetry]:
    for region in written.regions:
        inside = [written.steps[name] for name in region.steps]
        touched = frozenset(name for each in inside for line in each.step.lines for name in _chiefly_made_by(line, catalogue))

        def passes(step: Step, touched: frozenset[str] = touched) -> bool:
            return step.follow is None and not _resets(_all_lines(step), touched, catalogue)

        openers = frozenset(name for name in region.openers if not _resets(_before(written, name, region), touched, catalogue))
        for each in inside:
            late = (region.late,) if region.late else ()
            back = _way_back(written, (*late, *_failing(each)), openers, passes)
            if back is not None:
                yield TimedRetry(region, Retry((each.step.name, *back)))
                break


def _failing(each: WrittenStep) -> tuple[str, ...]:
    """Give where a step leads that failed; that its tries are spent is no failing."""
    return tuple(leaving.target for leaving in each.exits if leaving.is_failing and leaving.outcome != "spent")


def _way_back(
    written: Written, starts: Iterable[str], goals: frozenset[str], passes: Callable[[Step], bool]
) -> tuple[str, ...] | None:
    """Give a shortest way from one of some steps to a goal through steps that may be passed, both ends with it."""
    waiting: list[tuple[str, ...]] = [(name,) for name in dict.fromkeys(starts) if name in written.steps]
    seen = {way[0] for way in waiting}
    for way in waiting:
        each = written.steps[way[-1]]
        if way[-1] in goals:
            return way
        if passes(each.step):
            fresh = [out.target for out in each.exits if out.target in written.steps and out.target not in seen]
            seen.update(fresh)
            waiting += [(*way, name) for name in dict.fromkeys(fresh)]
    return None


def _all_lines(step: Step) -> tuple[Line, ...]:
    return (*step.lines, *step.meanwhile)


def _begins_idle(step: Step) -> bool:
    """Whether nothing is done in a step before equipment or vehicle may refuse, and each time the same is tried."""
    lines = _all_lines(step)
    may_refuse = [
        at for at, line in enumerate(lines) if fails_by_itself(line) or (line.action.may_fail and not line.action.shows)
    ]
    if not may_refuse or any(word.endswith(".missing") for line in lines for word in line.words.values()):
        return False
    line = lines[may_refuse[0]]
    is_by_hand = line.by == line.action.paced_by == _BY_HAND
    return not is_by_hand and not _is_free(line) and all(map(_is_idle, lines[: may_refuse[0]]))


def _is_idle_step(step: Step) -> bool:
    """Whether nothing is done in a step; a person who is asked may do something."""
    is_silent = step.follow is None and step.prompt is None and not step.ask
    return is_silent and all(map(_is_idle, _all_lines(step)))


def _is_idle(line: Line) -> bool:
    """Whether a line only looks, or does nothing at all that can be told."""
    action = line.action
    makes_nothing = not action.makes and not any(action.answer_makes.values())
    return bool(action.shows) or (makes_nothing and not _takes_time(line) and not _is_free(line))


def _takes_time(line: Line) -> bool:
    """Whether a line takes as long as it says, or as what it does to get somewhere."""
    return isinstance(line.action.takes, str)


def _is_free(line: Line) -> bool:
    """Whether a line says in free words what is done."""
    return any(parameter.kind == _FREE_WORDS for parameter in line.action.parameters.values())


def _resets(lines: Iterable[Line], touched: frozenset[str], catalogue: Catalogue) -> bool:
    """Whether one of some lines lets time pass, or does to the vehicle something of what a timed part does."""
    return any(_takes_time(line) or _is_free(line) or not touched.isdisjoint(_made_by(line, catalogue)) for line in lines)


def _made_by(line: Line, catalogue: Catalogue) -> frozenset[str]:
    """Give the names of the variables that a line changes, or may change."""
    return _targets(catalogue.deed(line.verb).makes)


def _chiefly_made_by(line: Line, catalogue: Catalogue) -> frozenset[str]:
    """Give the names of the variables that a line changes however things stand; all that it may change where there is none."""
    makes = catalogue.deed(line.verb).makes
    whatever = [effect for effect in makes if not any(_hangs_on_state(atom) for atom in effect.condition)]
    return _targets(whatever) or _targets(makes)


def _hangs_on_state(atom: Atom) -> bool:
    return any(operand.form in (Form.VARIABLE, Form.NAMED, Form.FACT) for operand in atom.operands)


def _targets(effects: Iterable[Effect]) -> frozenset[str]:
    return frozenset(effect.target.name for effect in effects if effect.target.form is Form.VARIABLE)


def _before(written: Written, name: str, region: Region) -> tuple[Line, ...]:
    """Give the lines of a step before the one that opens a region."""
    lines = written.steps[name].step.lines
    opening = next(at for at, line in enumerate(lines) if any(mark.window == region.window.name for mark in line.opens))
    return lines[:opening]


def way_of(graph: StepGraph, retry: Retry) -> tuple[Edge, ...]:
    """Give a shortest way to the first try, and the way from there to the second."""
    known = [node.index for name in retry.names if (node := graph.own(name)) is not None]
    failing = next(edge for edge in graph.leaving[known[0]] if edge.target == known[1] and _is_failed_try(edge))
    back = (next(edge for edge in graph.leaving[one] if edge.target == next_one) for one, next_one in pairwise(known[1:]))
    return (*(graph.way(known[0]) or ()), failing, *back)


def _is_failed_try(edge: Edge) -> bool:
    return edge.is_failing and edge.outcome != "spent"
