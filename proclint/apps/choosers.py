"""Who chooses the outcomes of a rehearsal: a person at the terminal, or a script."""

from collections.abc import Callable, Iterator
from typing import TypeAlias

import click

from proclint.analysis.states.rehearsal import Moment, Option
from proclint.render.plain import harmless
from proclint.settings import UsageProblem

# Gives the name of an outcome that is open at a moment.
Chooser: TypeAlias = Callable[[Moment], str]


def from_script(outcomes: tuple[str, ...]) -> Chooser:
    """Choose the outcomes of a script one after the other, where there are several; raises UsageProblem for what is not open."""
    left = iter(outcomes)

    def choose(moment: Moment) -> str:
        if len(moment.options) == 1:
            return moment.options[0].name
        said = next(left, None)
        name = chosen(said, moment.options) if said is not None else None
        if name is None:
            raise _refused(said, moment)
        return name

    return choose


def refuse_left_over(outcomes: tuple[str, ...], arrived: Moment) -> None:
    """Raise UsageProblem where a script names more outcomes than the way to its ending has."""
    left = outcomes[sum(1 for leg in arrived.way if leg.script) :]
    if left:
        what = f"--outcomes: '{','.join(left)}' is left over at the ending '{arrived.spot.name}'."
        raise UsageProblem(what, "Leave it out, or choose another way.")


def ask(moment: Moment) -> str:
    """Ask the person at the terminal until an outcome is named that is open. Raises EOFError where nobody answers."""
    one = moment.options[0].name if len(moment.options) == 1 else ""
    while True:
        said = _answer("Enter goes on: " if one else "Outcome: ")
        name = one if one and not said else chosen(said, moment.options)
        if name is not None:
            return name
        click.echo(f"There is no outcome '{harmless(said)}' here. There are: {listed(moment.options)}.")


def _answer(question: str) -> str:
    try:
        return input(question).strip()
    except UnicodeDecodeError:
        # Told as what is not there, as any other slip.
        return "?"


def chosen(said: str, options: tuple[Option, ...]) -> str | None:
    """Give the outcome that is meant by its name or its number, nothing where there is none."""
    names = [option.name for option in options]
    if said in names:
        return said
    numbers = [str(number) for number, _ in enumerate(names, 1)]
    return names[numbers.index(said)] if said in numbers else None


def listed(options: tuple[Option, ...]) -> str:
    """Give the outcomes there are, each with its number."""
    return ", ".join(_numbered(options))


def _numbered(options: tuple[Option, ...]) -> Iterator[str]:
    for number, option in enumerate(options, 1):
        yield f"{number} '{harmless(option.name)}'"


def _refused(said: str | None, moment: Moment) -> UsageProblem:
    names = (moment.spot.name, *(caller.name for caller in reversed(moment.spot.frame.callers)))
    where = " in ".join(f"'{name}'" for name in names)
    number = sum(1 for leg in moment.way if leg.script) + 1
    what = f"none is named for {where}" if said is None else f"{where} has no outcome '{said}' on this way"
    return UsageProblem(f"--outcomes: number {number}: {what}.", f"There are: {listed(moment.options)}.")
