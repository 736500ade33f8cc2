"""What a value may be: the numbers and words that a cell of a facts table leaves open.

Whole numbers throughout: a count as it is, a quantity in thousandths of its unit. A cell holds a value, a range `4-6`
or several with | between; what several mean is the attribute's `several`: it is one of them, or all of them together.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from proclint.catalogue.entries import Attribute
from proclint.catalogue.nearest import nearest

_NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,3})?"
_RANGE = re.compile(rf"({_NUMBER})(?:-({_NUMBER}))?")
_WITH_UNIT = re.compile(rf"({_NUMBER}(?:-{_NUMBER})?) *([A-Za-z]+)")
_TRUTH = frozenset({"true", "false"})
_UNCOMPARED = frozenset({"text", "years", "months"})


class Domain(NamedTuple):
    """Numbers in any of some closed spans, in order and with other numbers between each two, or any of some words."""

    spans: tuple[tuple[int, int], ...]
    words: frozenset[str]

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left."""
        return not self.spans and not self.words


NO_WORDS: frozenset[str] = frozenset()


def one_of(*words: str) -> Domain:
    """Give the domain of some words."""
    return Domain((), frozenset(words))


def between(least: int, most: int) -> Domain:
    """Give the domain of the numbers from least to most, both included; nothing where least is above most."""
    return Domain(((least, most),) if least <= most else (), NO_WORDS)


def meet(one: Domain, other: Domain) -> Domain:
    """Give what two domains have in common."""
    if one is other or one == other:
        return one
    spans = tuple(_meeting(one.spans, other.spans)) if one.spans and other.spans else ()
    return Domain(spans, one.words & other.words)


def _meeting(one: tuple[tuple[int, int], ...], other: tuple[tuple[int, int], ...]) -> list[tuple[int, int]]:
    both = [(max(a, c), min(b, d)) for a, b in one for c, d in other]
    return [(least, most) for least, most in both if least <= most]


def without(domain: Domain, taken: Domain) -> Domain:
    """Give what of a domain is not in another."""
    spans = list(domain.spans)
    for least, most in taken.spans:
        sides = [side for a, b in spans for side in ((a, min(b, least - 1)), (max(a, most + 1), b))]
        spans = sorted({(a, b) for a, b in sides if a <= b})
    return Domain(tuple(spans), domain.words - taken.words)


def grain(attribute: Attribute) -> int:
    """Give how many of our whole numbers make one of the attribute's unit."""
    return 1000 if attribute.type == "quantity" else 1


def domain_of(attribute: Attribute) -> Domain | None:
    """Give all that a value of an attribute can be; nothing where there is no end of it."""
    if attribute.several == "all" and not attribute.narrows:
        return None
    words = _TRUTH if attribute.type == "truth" else frozenset(attribute.words)
    spans: tuple[tuple[int, int], ...] = ()
    if attribute.least is not None and attribute.most is not None and attribute.type in ("count", "quantity"):
        spans = ((int(attribute.least * grain(attribute)), int(attribute.most * grain(attribute))),)
    whole = Domain(spans, words)
    return None if whole.is_empty else whole


def is_compared(attribute: Attribute) -> bool:
    """Whether what two sources say of it can be held against each other; free text cannot."""
    return attribute.type not in _UNCOMPARED and not attribute.narrows


@dataclass(frozen=True, slots=True)
class Unfit:
    """Why a cell has no meaning.

    `kind` is one of `no-number`, `with-unit`, `out-of-range`, `wrong-way-round`, `unknown-word`, `one-value-only`,
    `same-twice`, `no-years`, `no-months`. `expected` says in plain words what may stand there, `suggestion` what was meant.
    """

    kind: str
    found: str
    expected: str
    suggestion: str = ""


def read_domain(text: str, attribute: Attribute, *, nearness: int = 0) -> Domain | Unfit:
    """Read a cell of an attribute that `is_compared`.

    Two numbers at most `nearness` apart are one: each is widened by half of it.
    """
    items = [item.strip() for item in text.split("|")]
    if len(items) > 1 and not attribute.several:
        return Unfit("one-value-only", text, "one value")
    if len(set(items)) < len(items):
        return Unfit("same-twice", text, "each value once")
    read = _reader_of(attribute, nearness)
    found = [read(item) for item in items]
    bad = next((each for each in found if isinstance(each, Unfit)), None)
    if bad is not None:
        return bad
    if attribute.several == "all":
        return one_of("|".join(sorted(items)))
    return union([each for each in found if isinstance(each, Domain)])


def union(domains: Iterable[Domain]) -> Domain:
    """Give what is in any of some domains."""
    domains = tuple(domains)
    spans: list[tuple[int, int]] = []
    for least, most in sorted(span for domain in domains for span in domain.spans):
        if spans and least <= spans[-1][1] + 1:
            spans[-1] = (spans[-1][0], max(spans[-1][1], most))
        else:
            spans.append((least, most))
    return Domain(tuple(spans), NO_WORDS.union(*(domain.words for domain in domains)))


def written(domain: Domain, attribute: Attribute) -> str:
    """Give a domain as a cell of a facts table says it: numbers and ranges in the attribute's unit, words, with | between."""
    scale = grain(attribute)
    spans = (_number_text(least, scale) if least == most else _range_text(least, most, scale) for least, most in domain.spans)
    return "|".join((*spans, *sorted(domain.words)))


def _range_text(least: int, most: int, scale: int) -> str:
    return f"{_number_text(least, scale)}-{_number_text(most, scale)}"


def _number_text(number: int, scale: int) -> str:
    return str(number) if scale == 1 else f"{Decimal(number) / scale:f}"


def _reader_of(attribute: Attribute, nearness: int) -> Callable[[str], Domain | Unfit]:
    if attribute.type in ("count", "quantity"):
        return lambda text: _number(text, attribute, nearness)
    words = _TRUTH if attribute.type == "truth" else frozenset(attribute.words)
    return lambda text: _word(text, words)


def _word(text: str, words: frozenset[str]) -> Domain | Unfit:
    if text in words or (not words and text):
        return one_of(text)
    return Unfit("unknown-word", text, ", ".join(sorted(words)) or "a name", nearest(text, words))


def _number(text: str, attribute: Attribute, nearness: int) -> Domain | Unfit:
    if text in attribute.words:
        return one_of(text)
    found = _RANGE.fullmatch(text)
    if found is None or (attribute.type == "count" and "." in text):
        return _no_number(text, attribute)
    ends = [_whole(number, grain(attribute)) for number in found.groups() if number is not None]
    least, most = ends[0], ends[-1]
    if least > most:
        return Unfit("wrong-way-round", text, "the least before the most", "-".join(reversed(text.split("-"))))
    if attribute.least is not None and attribute.most is not None:
        scale = grain(attribute)
        if least < attribute.least * scale or most > attribute.most * scale:
            return Unfit("out-of-range", text, f"a number from {attribute.least} to {attribute.most}")
    return between(least - nearness // 2, most + nearness // 2)


def _no_number(text: str, attribute: Attribute) -> Unfit:
    kind = "a whole number" if attribute.type == "count" else "a number with at most three decimals"
    expected = f"{kind} of {attribute.unit}" + (f", or {', '.join(attribute.words)}" if attribute.words else "")
    found = _WITH_UNIT.fullmatch(text)
    if found is not None:
        same = found[2] == attribute.unit
        return Unfit("with-unit", text, f"{expected}, without the unit", found[1] if same else "")
    with_point = text.replace(",", ".")
    meant = with_point if _RANGE.fullmatch(with_point) else nearest(text, attribute.words)
    return Unfit("no-number", text, expected, meant if meant != text else "")


def _whole(number: str, scale: int) -> int:
    """Give a decimal number in whole grains; a float would turn 433.92 into something else."""
    whole, _, part = number.partition(".")
    return int(whole) * scale + (int(part.ljust(3, "0")) * scale // 1000 if part else 0)
