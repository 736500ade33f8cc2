"""How a misfit is said: words for what may stand there, and what was probably meant."""

import re
from collections.abc import Collection, Iterator, Sequence

from proclint.catalogue import standard
from proclint.catalogue.nearest import nearest as nearest_known

_NUMBER = re.compile(r"[0-9]+([.,][0-9]+)?(-[0-9]+([.,][0-9]+)?)*")
_WITH_UNIT = re.compile(r"([0-9.-]*[0-9]) *([A-Za-z]+)")
_DAY = re.compile(r"([0-9]{4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,2})")
_MEMBER = re.compile(r"[Mm][- ]?([0-9]{1,4})")
_TRUTHS = {"yes": "true", "no": "false", "on": "true", "off": "false", "true": "true", "false": "false"}


def listed(words: Collection[str]) -> str:
    """Give words as a person lists them: `a, b or c`."""
    texts = list(words)
    return " or ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def nearest(text: str, names: Sequence[str]) -> str:
    """Give the name that was probably meant, or nothing."""
    return nearest_known(_in_hyphens(text), names)


def has_no_unit(text: str, pattern: str) -> bool:
    """Whether a text is a number that would fit the pattern if it had a unit."""
    is_number = _NUMBER.fullmatch(text) is not None
    return is_number and any(re.search(pattern, f"{text} {unit}") for unit in standard().units)


def mended(text: str, pattern: str) -> str:
    """Give a text like this one that fits the pattern, or nothing."""
    return next((likely for likely in _likely(text.strip()) if re.search(pattern, likely)), "")


def mended_truth(text: str) -> str:
    """Give true or false for another way to say it, or nothing."""
    return _TRUTHS.get(text.lower(), "")


def _likely(text: str) -> Iterator[str]:
    tight = re.sub(r" *(?:-|\u2013|\bto\b) *", "-", text)
    yield from (text, text.lower(), tight, tight.upper())
    yield from _with_symbol(tight.replace(",", "."))
    yield _DAY.sub(lambda found: f"{found[1]}-{found[2]:0>2}-{found[3]:0>2}", text)
    yield _MEMBER.sub(lambda found: f"m-{found[1]:0>2}", text)
    yield re.sub(r"[ @:v]+([0-9]+)$", r" \1", text)
    yield _in_hyphens(text)


def _with_symbol(text: str) -> Iterator[str]:
    found = _WITH_UNIT.fullmatch(text)
    if found is not None:
        number, word = found.groups()
        units = (unit for unit in standard().units.values() if word in (unit.symbol, *unit.instead_of))
        yield from (f"{number} {unit.symbol}" for unit in units)


def _in_hyphens(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
