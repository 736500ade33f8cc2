"""Text from strangers' files, made harmless for a terminal."""

import re

# C0 and C1 controls, and the marks that turn the direction of writing.
_CONTROLS = re.compile("[\x00-\x1f\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def harmless(text: str) -> str:
    """Replace control characters by a visible `?`, line ends and tabs by a space."""
    return _CONTROLS.sub(lambda found: " " if found[0] in "\t\r\n" else "?", text)


def shortened(text: str, most: int) -> str:
    """Cut a text to `most` characters, saying so by three dots."""
    return text if len(text) <= most else text[: most - 3].rstrip() + "..."
