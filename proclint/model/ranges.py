"""Ranges as a file writes them, `4-6 s` or `2013-2017`, and which way round they run."""

import re
from decimal import Decimal
from functools import lru_cache

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_RANGE = re.compile(rf"{_NUMBER}-{_NUMBER}|{_NUMBER}(?:-{_NUMBER}){{1,2}} [A-Za-z]+")
_MONTHS = re.compile(r"[0-9]{4}-[0-9]{2}/[0-9]{4}-[0-9]{2}")


@lru_cache(maxsize=4096)
def put_right(text: str) -> str:
    """Give a range that runs from more to less the other way round; nothing for one that is as it should be, or no range."""
    if _RANGE.fullmatch(text) is None:
        return ""
    written, _, unit = text.partition(" ")
    numbers = written.split("-")
    ordered = sorted(numbers, key=Decimal)
    return "" if ordered == numbers else " ".join(filter(None, ("-".join(ordered), unit)))


def months_put_right(text: str) -> str:
    """Give two months of which the later stands first the other way round; nothing for what is as it should be."""
    first, _, last = text.partition("/")
    return f"{last}/{first}" if _MONTHS.fullmatch(text) and last < first else ""


def in_words(text: str) -> str:
    """Say a range as a person would: `at least 4 s and at most 6 s`, or `at least 1 s, usually 2 s and at most 4 s`."""
    written, _, unit = text.partition(" ")
    least, *usual, most = (f"{number} {unit}".strip() for number in written.split("-"))
    middle = f", usually {usual[0]}" if usual else ""
    return f"at least {least}{middle} and at most {most}"
