"""How a wrong call is told: what is wrong, what to do about it, exit status 2."""

import sys
from typing import NoReturn

import click

from proclint.render.plain import harmless
from proclint.settings import UsageProblem


def refuse(problem: UsageProblem) -> NoReturn:
    """Say what is wrong on standard error and end."""
    click.echo(f"proclint: {harmless(problem.what)}\n{harmless(problem.change)}", err=True)
    sys.exit(2)
