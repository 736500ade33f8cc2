"""What the terminal can show."""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

_WORTH_A_BAR = 200


def in_colour() -> bool:
    """Whether to colour: only on a terminal that can, and not where NO_COLOR is set (no-color.org: to anything but nothing)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


@contextmanager
def progress(length: int) -> Iterator[Callable[[str], None]]:
    """Give a function to call at each step; a bar is drawn on standard error for a long run on a terminal."""
    if length < _WORTH_A_BAR or not sys.stderr.isatty():
        yield lambda _: None
        return
    with click.progressbar(length=length, label="checking", file=sys.stderr) as bar:
        yield lambda _: bar.update(1)
