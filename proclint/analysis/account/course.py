"""The steps of a file in rows, as a chart of the work shows them, and where each outcome leads."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proclint.analysis.shelf import Written, WrittenStep
from proclint.model import End, Step


class Leading(NamedTuple):
    """Outcomes of a step that lead to one place: its row, none where it is an ending or exit or not there at all."""

    outcomes: tuple[str, ...]
    target: str
    row: int | None


class Row(NamedTuple):
    """A step, whether its first way leads on to the next row, and its other ways."""

    step: Step
    goes_on: tuple[str, ...]
    leads: tuple[Leading, ...]


class Course(NamedTuple):
    """The steps in the order of the file, and the endings or exits."""

    rows: tuple[Row, ...]
    ends: tuple[End, ...]


def course_of(written: Written) -> Course:
    """Give the course of a procedure or block; blocks that it follows are one step each."""
    places = {name: number for number, name in enumerate(written.steps)}
    rows = tuple(_row(each, places, _late(written, name)) for name, each in written.steps.items())
    return Course(rows, tuple(end for name, end in written.flow.ends.items() if name not in places))


def _late(written: Written, name: str) -> Iterator[tuple[str, str]]:
    for region in written.regions:
        if name in region.steps and region.late:
            yield f"late for {region.window.name}", region.late


def _row(each: WrittenStep, places: dict[str, int], late: Iterable[tuple[str, str]]) -> Row:
    by_target: dict[str, dict[str, None]] = {}
    for outcome, target in (*((out.outcome, out.target) for out in each.exits), *late):
        by_target.setdefault(target, {})[outcome] = None
    following = places[each.step.name] + 1
    leads = tuple(Leading(tuple(outcomes), target, places.get(target)) for target, outcomes in by_target.items())
    goes_on = tuple(outcome for lead in leads if lead.row == following for outcome in lead.outcomes)
    return Row(each.step, goes_on, tuple(lead for lead in leads if lead.row != following))
