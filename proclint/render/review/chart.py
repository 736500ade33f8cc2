"""The course of the work as rows of a chart, with the results that stand at each step."""

from collections.abc import Iterator

from proclint.analysis.account.course import Row
from proclint.model import Step
from proclint.render.review.dangers import word_of
from proclint.render.review.leaf import Arrow, Chart, Place, Section, Stop
from proclint.review import Account
from proclint.telling import counted


def section_of_course(account: Account) -> Section | None:
    """Give the chart; nothing where there are no steps."""
    if account.inside is None:
        return None
    course = account.inside.course
    marks = {end.name: f"E{number}" for number, end in enumerate(course.ends, start=1)}
    places = tuple(_place(row, number, marks, account) for number, row in enumerate(course.rows, start=1))
    stops = tuple(Stop(marks[end.name], end.name, end.kind or "exit", end.tell) for end in course.ends)
    short = f"{counted(len(places), 'step', 'steps')}, {counted(len(stops), 'ending', 'endings')}"
    return Section("Course of the work", short, (Chart(places, stops),))


def _place(row: Row, number: int, marks: dict[str, str], account: Account) -> Place:
    step = row.step
    arrows = tuple(
        Arrow(" or ".join(lead.outcomes), lead.target or "nowhere", lead.row, marks.get(lead.target, "")) for lead in row.leads
    )
    return Place(
        str(number),
        step.name,
        step.words,
        tuple(_notes(step)),
        tuple(_results(step, account)),
        " or ".join(row.goes_on),
        arrows,
        step.is_fallback,
    )


def _notes(step: Step) -> Iterator[str]:
    if step.cautions:
        yield f"cautions: {', '.join(word.text for word in step.cautions)}"
    if step.tries is not None:
        yield counted(step.tries, "try", "tries")
    if step.loop is not None:
        yield f"for each {' and '.join(step.loop.groups)}" if step.loop.letter else f"{step.loop.times} times"


def _results(step: Step, account: Account) -> Iterator[str]:
    """Give the results at a step, gravest first, as `2 errors`."""
    path = step.at.path
    words = [word_of(each) for each in account.results if each.result.at.path[: len(path)] == path]
    for word in ("error", "warning", "note", "open"):
        if word in words:
            yield counted(words.count(word), word, "open" if word == "open" else f"{word}s")
