"""What is written at a step, for the person who does it: cautions, the screen, the lines and their signs."""

import re
from collections.abc import Iterator

from proclint.analysis.states.rehearsal import Leg, Moment
from proclint.analysis.states.spots import Kind, Spot
from proclint.analysis.states.steps import ENTERED
from proclint.analysis.time.spoken import spoken
from proclint.catalogue import Duration, Hazard
from proclint.model import Caution, Line, Mark, Prompt, Step
from proclint.render.labelled import labelled


def step_lines(moment: Moment) -> Iterator[str]:
    """Tell the cautions on the way into a step, and the step itself."""
    step, spot = moment.spot.step, moment.spot
    yield from caution_lines(moment)
    if spot.kind is Kind.GATE:
        yield from labelled("ask", f"Is there one more key of this group, {spot.key}?")
    elif step is not None:
        yield from _screen(step.prompt)
        yield from labelled("do", step.instruction)
        for number, line in enumerate(step.lines):
            yield from labelled("do" if number == 0 and not step.instruction else "", f"- {_line(line)}")
        for line in step.meanwhile:
            every = f", every {spoken(line.every)}" if line.every is not None else ""
            yield from labelled("meanwhile", f"- {line.text}{every}")
        yield from labelled("ask", step.ask)


def caution_lines(moment: Moment) -> Iterator[str]:
    """Tell the cautions of the steps that were come to since the last choice, each once."""
    told: dict[str, Caution | Hazard] = {}
    for leg in moment.way[len(moment.way) - moment.fresh :]:
        told.update(_cautions(leg, moment))
    for caution in told.values():
        yield from labelled(caution.signal, f"{caution.hazard} {caution.consequence} {caution.avoid}")


def _cautions(leg: Leg, moment: Moment) -> Iterator[tuple[str, Caution | Hazard]]:
    step, spot = leg.spot.step, leg.spot
    if step is None or spot.kind not in (Kind.BEGIN, Kind.AGAIN) or leg.outcome != ENTERED:
        return
    for word in step.cautions:
        own = spot.frame.written.flow.cautions.get(word.text)
        yield word.text, own or moment.rehearsal.shelf.catalogue.hazards[word.text]


def _screen(prompt: Prompt | None) -> Iterator[str]:
    if prompt is None:
        return
    yield from labelled("screen", f'"{prompt.says}"')
    yield from labelled("", prompt.means)
    yield from labelled("", "; ".join(f"{choice} = {does}" for choice, does in prompt.choices.items()))
    yield from labelled("answer", prompt.answer)


def _line(line: Line) -> str:
    when = f"if {line.only_if}: " if line.only_if else ""
    often = f" ({line.repeat} times)" if line.repeat > 1 and line.rounds_of == 1 else ""
    by = f" (by the {line.by})" if line.by != "technician" else ""
    return when + line.text + often + by + "".join(f"; {each}" for each in _of_line(line))


def _of_line(line: Line) -> Iterator[str]:
    if line.takes is not None:
        yield f"takes {_duration(line.takes)}"
    if line.expect:
        yield f"sign: {line.expect}" + (f", within {spoken(line.within)}" if line.within is not None else "")
    if line.repeat > 1 and line.rounds_of > 1:
        yield f"the last {line.rounds_of} lines {line.repeat} times in all"
    yield from (f"window '{mark.window}' ends{_edge(mark)}" for mark in line.closes)
    yield from (f"window '{mark.window}' begins{_edge(mark)}" for mark in line.opens)


def _edge(mark: Mark) -> str:
    return " as this begins" if mark.edge == "start" else ""


def _duration(time: Duration) -> str:
    return spoken(time.least) if time.least == time.most else f"{spoken(time.least)} to {spoken(time.most)}"


def path(spot: Spot) -> str:
    """Say where a step stands: the steps that lead into its block, with the key of each round, itself, and its letters."""
    names = " > ".join((*(f"{caller.name} {caller.key}".strip() for caller in spot.frame.callers), spot.name))
    letters = [f"{letter} = {key}" for letter, key in spot.letters.items() if spot.step is not None and _says(spot.step, letter)]
    return f"{names} ({', '.join(letters)})" if letters else names


def _says(step: Step, letter: str) -> bool:
    texts = (step.instruction, step.ask, *(line.text for line in (*step.lines, *step.meanwhile)))
    return any(re.search(rf"\b{re.escape(letter)}\b", text) for text in texts)
