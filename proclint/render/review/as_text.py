"""A review for the terminal."""

import textwrap
from collections.abc import Iterator
from functools import singledispatch

from proclint.render.bars import text_of_bars
from proclint.render.plain import harmless, without_commands
from proclint.render.review.leaf import (
    REST,
    Bars,
    Chart,
    Finding,
    Findings,
    Folio,
    Grid,
    Items,
    Leaf,
    Part,
    Place,
    Prose,
    Section,
)
from proclint.render.review.words import of_chips

_WIDTH = 100
_INDENT = "  "
_LABEL = 30


def text_review(folio: Folio) -> str:
    """Write a review as text without control characters, at most 100 wide as far as names allow."""
    parts = [folio.lead]
    parts += ["\n".join(_leaf(leaf)) for leaf in folio.leaves]
    parts += [REST.upper()] if folio.sections else []
    parts += ["\n".join(_section(section)) for section in folio.sections]
    parts.append("\n".join(folio.closing))
    return without_commands("\n\n".join(_clean(part) for part in parts) + "\n")


def _clean(part: str) -> str:
    return "\n".join(harmless(line).rstrip() for line in part.split("\n"))


def _leaf(leaf: Leaf) -> Iterator[str]:
    yield from _wrapped(_line(leaf.title).upper(), "")
    yield _line(leaf.file)
    yield ""
    for label, text in leaf.head:
        yield from _labelled(label, text)
    yield ""
    yield from _wrapped(leaf.verdict, "")
    yield from _wrapped(leaf.lost, "")
    for section in leaf.sections:
        yield ""
        yield from _section(section)


def _section(section: Section) -> Iterator[str]:
    yield f"{section.title} - {_line(section.in_short)}"
    for part in section.parts:
        yield from _part(part)


@singledispatch
def _part(part: Part) -> Iterator[str]:
    raise TypeError(type(part).__name__)


@_part.register
def _(part: Prose) -> Iterator[str]:
    yield from _wrapped(part.text, _INDENT)


@_part.register
def _(part: Items) -> Iterator[str]:
    for item in part.items:
        yield from _hanging("- ", item)


@_part.register
def _(part: Grid) -> Iterator[str]:
    yield f"{_INDENT}{_line(part.caption)}"
    for row in part.rows:
        yield from _hanging("* ", row[0])
        for label, cell in zip(part.head[1:], row[1:], strict=True):
            yield from _labelled(label, cell, _INDENT * 2)


@_part.register
def _(part: Findings) -> Iterator[str]:
    for found in part.found:
        yield from _finding(found)


def _finding(found: Finding) -> Iterator[str]:
    yield from _hanging(f"{found.level}: ", found.message)
    yield from _wrapped(f"{found.where} {found.words}", _INDENT * 3)
    if found.way:
        yield from _labelled("way", of_chips(found.way), _INDENT * 3)
    for label, text in found.said:
        yield from _labelled(label, text, _INDENT * 3)


@_part.register
def _(part: Bars) -> Iterator[str]:
    yield from textwrap.indent(text_of_bars(part.bars), _INDENT).split("\n")


@_part.register
def _(part: Chart) -> Iterator[str]:
    for place in part.places:
        yield from _hanging(f"{place.number:>2} ", f"{place.name}: {place.words}")
        for text in _around(place):
            yield from _wrapped(text, _INDENT * 4)
    for stop in part.stops:
        yield from _hanging(f"{stop.mark} ", f"{stop.name} ({stop.kind}) {stop.tell}")


def _around(place: Place) -> Iterator[str]:
    yield from (f"!! {text} here" for text in place.results)
    yield from place.notes
    for arrow in place.arrows:
        where = arrow.mark or (str(arrow.row + 1) if arrow.row is not None else "?")
        yield f"{arrow.outcomes} -> {where} {arrow.target}"


def _line(text: str) -> str:
    return harmless(text)


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        _line(text), _WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False
    )


def _hanging(mark: str, text: str) -> list[str]:
    return textwrap.wrap(
        _line(text),
        _WIDTH,
        initial_indent=_INDENT + mark,
        subsequent_indent=_INDENT + " " * len(mark),
        break_on_hyphens=False,
        break_long_words=False,
    )


def _labelled(label: str, text: str, indent: str = "") -> list[str]:
    first = f"{indent}{label}: ".ljust(_LABEL if indent else _LABEL // 2 + 3)
    return textwrap.wrap(
        _line(text),
        _WIDTH,
        initial_indent=first,
        subsequent_indent=" " * len(first),
        break_on_hyphens=False,
        break_long_words=False,
    )
