"""A label and its text beside it, line by line under one another."""

import textwrap
from collections.abc import Iterator

from proclint.render.plain import harmless

WIDTH = 78
LABEL = 11


def labelled(label: str, text: str) -> Iterator[str]:
    """Give the lines of a text beside its label, those of a point under its words; nothing where there is no text."""
    under = "  " if text.startswith("- ") else ""
    room = WIDTH - LABEL
    lines = textwrap.wrap(harmless(text), room, subsequent_indent=under, break_on_hyphens=False, break_long_words=False)
    for index, line in enumerate(lines):
        yield f"{label if index == 0 else '':<{LABEL}}{line}"
