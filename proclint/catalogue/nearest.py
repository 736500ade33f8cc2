"""The word that a person may have meant."""

import re
from collections.abc import Iterable

from proclint.catalogue.patterns import Kind
from proclint.catalogue.units import units


def nearest(word: str, known: Iterable[str]) -> str:
    """Give the known word that is most like `word`, capital letters aside; nothing where none is."""
    # Loaded where a word is not known, which is seldom.
    from difflib import get_close_matches

    by_small = {each.lower(): each for each in known}
    near = get_close_matches(word.lower(), by_small, 1, 0.6)
    return by_small[near[0]] if near else ""


def nearest_fit(word: str, kind: Kind, part: int) -> str:
    """Give what may have been meant where a part of a kind is wanted; nothing where nobody can tell."""
    if kind.words:
        return nearest(word, kind.words)
    fits = [each for each in _mended(word) if re.fullmatch(kind.parts[part], each)]
    whole = [each for each in _mended(word) if part == 0 and re.fullmatch(kind.matches, each)]
    return next(iter((*whole, *fits)), "")


def _mended(word: str) -> tuple[str, ...]:
    """Undo the usual slips: small letters, decimal comma, long dash, no space, other symbol."""
    plain = word.replace("\N{EN DASH}", "-").replace(",", ".")
    symbol = plain.lstrip("0123456789.-")
    number = plain.removesuffix(symbol) if symbol else plain
    known = (each.symbol for each in units().values() if symbol in (each.symbol, *each.instead_of))
    unit = next(known, symbol)
    return plain, plain.upper(), f"{number} {unit}" if number and unit else unit
