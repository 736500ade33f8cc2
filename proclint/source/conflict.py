"""A conflict that nobody resolved, as git leaves it in a file (git-merge, "How conflicts are presented"; from memory)."""

import re

CONFLICT = (
    "Two versions of this file were not put together: a conflict begins here.",
    "Keep what is meant of both, and delete the lines of <, = and >.",
)
_BEGINS = re.compile(r"^<{7}(?= |\r?$)", re.MULTILINE)


def conflict_in(text: str) -> tuple[int, int] | None:
    """Give the span of the mark at which a conflict begins; nothing where there is none."""
    found = _BEGINS.search(text)
    return found.span() if found is not None else None
