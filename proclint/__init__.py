"""Checks procedures for vehicle keys and remotes before anyone follows them.

`examine(path)` gives a `Report`: its `results` in order, what was checked and what could not be, and `fails`.
"""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from proclint.engine import Report

__version__ = "0.1.0"
__all__ = ["__version__", "examine"]


def examine(*paths: str | Path, on: str | None = None) -> "Report":
    """Check procedures, blocks or whole libraries, as `proclint examine` does.

    Without a path it is the library found from the current folder. `on` is the day of the check (ISO 8601), today without. Raises
    `proclint.settings.UsageProblem` where nothing can be checked.
    """
    # Loaded here so that asking for the version costs nothing.
    from proclint.apps.check import check

    return check(tuple(map(Path, paths)), on=on)
