"""Durations as the format writes them, in whole milliseconds.

Units are the second and the non-SI units accepted beside it: min, h, d (BIPM SI Brochure, 9th edition, table 8).
"""

import re
from dataclasses import dataclass
from decimal import Decimal

_MILLISECONDS = {"s": 1_000, "min": 60_000, "h": 3_600_000, "d": 86_400_000}
_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_DURATION = re.compile(rf"{_NUMBER}(?:-{_NUMBER})?(?:-{_NUMBER})? (s|min|h|d)")


@dataclass(frozen=True, slots=True)
class Duration:
    """Least, usual (where it is written) and most, in milliseconds."""

    least: int
    usual: int | None
    most: int


def read_duration(text: str) -> Duration | None:
    """Read `15 s`, `20-70 s` or `0.5-1-2 s`; give nothing for what is no duration."""
    found = _DURATION.fullmatch(text)
    if found is None:
        return None
    numbers = [int(Decimal(number) * _MILLISECONDS[found[4]]) for number in found.groups()[:3] if number]
    return Duration(numbers[0], numbers[1] if len(numbers) == 3 else None, numbers[-1])
