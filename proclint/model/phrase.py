"""How a misfit is said: words for what stands there, words for what may, and what was probably meant."""

import re
from collections.abc import Collection, Iterator, Sequence
from difflib import get_close_matches

_UNITS = ("s", "MHz")
_NUMBER = re.compile(r"[0-9]+([.,][0-9]+)?(-[0-9]+([.,][0-9]+)?)*")
_SPELT = re.compile(r"([0-9]) *(seconds?|secs?|s|minutes?|mins?|hours?|hrs?|h|days?|d|mhz)$", re.IGNORECASE)
_SYMBOLS = {"s": "s", "m": "min", "h": "h", "d": "d", "mh": "MHz"}
_DAY = re.compile(r"([0-9]{4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,2})")
_MEMBER = re.compile(r"[Mm][- ]?([0-9]{1,4})")
_TRUTHS = {"yes": "true", "no": "false", "on": "true", "off": "false"}


def listed(words: Collection[object], last: str = "or") -> str:
    """Give words as a person lists them: `a, b or c`."""
    texts = [str(word) for word in words]
    return f" {last} ".join([", ".join(texts[:-1]), texts[-1]] if len(texts) > 1 else texts)


def nearest(text: str, names: Sequence[str]) -> str:
    """Give the name that was probably meant, or nothing."""
    close = get_close_matches(_in_hyphens(text), names, n=1, cutoff=0.6)
    return close[0] if close else ""


def has_no_unit(text: str, pattern: str) -> bool:
    """Whether a text is a number that would fit the pattern if it had a unit."""
    return bool(_NUMBER.fullmatch(text)) and any(re.search(pattern, f"{text} {unit}") for unit in _UNITS)


def mended(text: str, pattern: str) -> str:
    """Give a text like this one that fits the pattern, or nothing."""
    return next((likely for likely in _likely(text.strip()) if re.search(pattern, likely)), "")


def mended_truth(text: str) -> str:
    """Give true or false for another way to say it, or nothing."""
    return _TRUTHS.get(text.lower(), text.lower() if text.lower() in ("true", "false") else "")


def _likely(text: str) -> Iterator[str]:
    yield text
    yield text.lower()
    tight = re.sub(r" *(?:-|\u2013|\bto\b) *", "-", text)
    yield tight
    yield tight.upper()
    yield _SPELT.sub(_with_symbol, tight.replace(",", "."))
    yield _DAY.sub(_with_zeros, text)
    yield _MEMBER.sub(lambda found: f"m-{found[1]:0>2}", text)
    yield re.sub(r"[ @:v]+([0-9]+)$", r" \1", text)
    yield _in_hyphens(text)


def _with_symbol(found: re.Match[str]) -> str:
    word = found[2].lower()
    return f"{found[1]} {_SYMBOLS[word[:2] if word.startswith('mh') else word[0]]}"


def _with_zeros(found: re.Match[str]) -> str:
    return f"{found[1]}-{found[2]:0>2}-{found[3]:0>2}"


def _in_hyphens(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
