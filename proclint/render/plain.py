"""Text from strangers' files, made harmless for a terminal."""

import re

# C0 and C1 controls, the marks that turn the direction of writing, and halves of letters, which cannot be written.
_CONTROLS = re.compile("[\ud800-\udfff\x00-\x1f\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def harmless(text: str) -> str:
    """Replace control characters by a visible `?`, line ends and tabs by a space."""
    return _CONTROLS.sub(lambda found: " " if found[0] in "\t\r\n" else "?", text)


# What a CI system takes for a command to itself: two colons at the start of a line, or two hash signs, a name and a bracket.
_COMMAND = re.compile(r"^([ \t]*):(?=:)|#(?=#[A-Za-z]*\[)", re.MULTILINE)


def without_commands(text: str) -> str:
    """Break up, by a space, what a CI system that shows the text as its log would obey."""
    return _COMMAND.sub(lambda found: f"{found[0]} ", text)


def shortened(text: str, most: int) -> str:
    """Cut a text to `most` characters, saying so by three dots."""
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."
