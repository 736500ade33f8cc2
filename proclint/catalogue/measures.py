"""Numbers in running text: times, voltages, the digits of a code, and how often something is done."""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from proclint.catalogue.speech import Speech
from proclint.catalogue.units import Duration, Unit

_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_DIGITS = re.compile(r"\b([0-9]+)[- ]digits?\b")
_READ = ("time", "voltage")


class Amount(NamedTuple):
    """A number of a quantity, least and most: a time in milliseconds, a voltage in volts; `text` as it was written."""

    quantity: str
    least: Decimal
    most: Decimal
    text: str


def amount_of(time: Duration) -> Amount:
    """Give a time as an amount."""
    least, most = (f"{milliseconds / 1000:g}" for milliseconds in (time.least, time.most))
    return Amount("time", Decimal(time.least), Decimal(time.most), f"{least} s" if least == most else f"{least}-{most} s")


class Measures:
    """Reads numbers with their units, and how often something is done."""

    def __init__(self, units: Mapping[str, Unit], speech: Speech) -> None:
        read = [unit for unit in units.values() if unit.quantity in _READ]
        # One letter in running text is no unit but a metre's or a minute's, nobody knows which.
        self._units = {
            word.lower(): unit for unit in read for word in (unit.symbol, *(each for each in unit.instead_of if len(each) > 1))
        }
        numbers, often = "|".join(speech.numbers), "|".join(speech.often)
        self._amount = re.compile(
            rf"{_NUMBER}(?:(?: ?(?:-|to) ?{_NUMBER}){{1,2}})? ?({'|'.join(self._units)})(?![\w-])", re.IGNORECASE
        )
        self._count = re.compile(rf"\b([0-9]+|{numbers}) times\b|(?<!at )\b({often})(?= *$| ,| (?:and|with|on|in)\b)")
        self._numbers = {**speech.numbers, **speech.often}
        # The same words stand in many lines.
        self.amounts = lru_cache(maxsize=4096)(self._amounts)

    def _amounts(self, text: str) -> tuple[Amount, ...]:
        """Give the times and voltages in a text, and the digits of a code."""
        digits = (Amount("digits", Decimal(each[1]), Decimal(each[1]), each[0]) for each in _DIGITS.finditer(text))
        return (*map(self._read, self._amount.finditer(text)), *digits)

    def _read(self, found: re.Match[str]) -> Amount:
        least, most, symbol = found.groups()
        unit = self._units[symbol.lower()]
        factor = unit.milliseconds or 1
        return Amount(unit.quantity, Decimal(least) * factor, Decimal(most or least) * factor, found[0])

    def counts(self, text: str) -> tuple[tuple[int, str], ...]:
        """Give how often a text of small letters says that something is done, each with its words."""
        return tuple((self.number(each[1] or each[2]), each[0]) for each in self._count.finditer(text))

    def number(self, word: str) -> int:
        """Give a number written in figures or as a word; 0 for what is none."""
        return int(word) if word.isdigit() else self._numbers.get(word, 0)
