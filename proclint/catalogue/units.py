"""Units and durations as the format writes them; durations in whole milliseconds.

A number and its symbol stand with a space between (BIPM, SI Brochure, 9th edition, 5.4.3, from memory); min,
h and d are units accepted beside the SI (table 8 there).
"""

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue.packaged import Tree, packaged

# Nine digits of a day are 2.7 million years; what follows the point must still be whole milliseconds.
_NUMBER = r"([0-9]{1,9})(?:\.([0-9]{1,9}))?"
_DURATION = re.compile(rf"{_NUMBER}(?:-{_NUMBER})?(?:-{_NUMBER})? ([A-Za-z]+)")


class Unit(NamedTuple):
    """A unit by its symbol; `milliseconds` is for times only, `instead_of` is what people write for it."""

    symbol: str
    name: str
    quantity: str
    milliseconds: int | None
    instead_of: tuple[str, ...]


class Duration(NamedTuple):
    """Least, usual and most, in milliseconds; of `20-70 s` nobody wrote the usual."""

    least: int
    usual: int | None
    most: int


@cache
def units() -> Mapping[str, Unit]:
    """Give the units by symbol."""
    rows = packaged("units")["units"]
    assert isinstance(rows, Mapping)
    return MappingProxyType({symbol: _unit(symbol, row) for symbol, row in rows.items()})


def _unit(symbol: str, row: Tree) -> Unit:
    assert isinstance(row, Mapping)
    factor = int(str(row["milliseconds"])) if "milliseconds" in row else None
    return Unit(symbol, str(row["name"]), str(row["quantity"]), factor, tuple(map(str, row["instead-of"])))


@lru_cache(maxsize=4096)
def read_duration(text: str) -> Duration | None:
    """Read `15 s`, `20-70 s` or `0.5-1-2 s`; give nothing for what is no duration.

    Least may not be above most, and every number is a whole count of milliseconds.
    """
    found = _DURATION.fullmatch(text)
    if found is None:
        return None
    *numbers, symbol = found.groups()
    unit = units().get(symbol)
    if unit is None or unit.milliseconds is None:
        return None
    written = [number for number in zip(numbers[::2], numbers[1::2], strict=True) if number[0] is not None]
    return _duration([_milliseconds(whole, part or "", unit.milliseconds) for whole, part in written])


def _milliseconds(whole: str, part: str, factor: int) -> int | None:
    # Whole numbers throughout: a float would turn 0.7 s into 699 ms somewhere.
    value, rest = divmod(int(whole + part) * factor, 10 ** len(part))
    return None if rest else value


def _duration(numbers: list[int | None]) -> Duration | None:
    exact = [number for number in numbers if number is not None]
    if len(exact) != len(numbers) or exact != sorted(exact):
        return None
    return Duration(exact[0], None if len(exact) == 2 else exact[len(exact) // 2], exact[-1])
