"""What a page of a review is made of, whatever it is written in: texts are as files have them, and nothing is escaped yet."""

from typing import NamedTuple, TypeAlias

from proclint.analysis.time.bars import Bar

# What the sections on the rest stand under.
REST = "The rest of the library"


class Chip(NamedTuple):
    """A step on a way, and the outcome by which it was left; one without a step says how many are left out."""

    step: str
    outcome: str


class Prose(NamedTuple):
    """A paragraph."""

    text: str


class Items(NamedTuple):
    """A list."""

    items: tuple[str, ...]


class Grid(NamedTuple):
    """A table: what it is of, its head, and its rows, of which the first cell names the row."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Finding(NamedTuple):
    """A result: its level in words, what happens, where, the way there, and what else is said of it by label."""

    level: str
    message: str
    where: str
    words: str
    way: tuple[Chip, ...]
    said: tuple[tuple[str, str], ...]


class Findings(NamedTuple):
    """Results, the most dangerous first."""

    found: tuple[Finding, ...]


class Bars(NamedTuple):
    """Windows as bars."""

    bars: tuple[Bar, ...]


class Arrow(NamedTuple):
    """Where outcomes lead: to another step of the chart by its row, or to an ending by its mark."""

    outcomes: str
    target: str
    row: int | None
    mark: str


class Place(NamedTuple):
    """A step in the chart: its number, name, words, notes such as tries, results at it, whether it goes on, its other ways."""

    number: str
    name: str
    words: str
    notes: tuple[str, ...]
    results: tuple[str, ...]
    goes_on: str
    arrows: tuple[Arrow, ...]
    is_fallback: bool


class Stop(NamedTuple):
    """An ending in the chart: its mark, name, kind and what is told there."""

    mark: str
    name: str
    kind: str
    tell: str


class Chart(NamedTuple):
    """The course of the work."""

    places: tuple[Place, ...]
    stops: tuple[Stop, ...]


Part: TypeAlias = Prose | Items | Grid | Findings | Bars | Chart


class Section(NamedTuple):
    """A part of a page with its heading. `in_short` is all that stands there where there is no room."""

    title: str
    in_short: str
    parts: tuple[Part, ...]


class Leaf(NamedTuple):
    """The account of a file: title, file, facts of its head by label, the verdict, and sections in order."""

    title: str
    file: str
    head: tuple[tuple[str, str], ...]
    is_blocked: bool
    verdict: str
    lost: str
    sections: tuple[Section, ...]


class Folio(NamedTuple):
    """A whole review: what it was held against, a leaf for each file, sections on the rest, and the lines at the end."""

    title: str
    lead: str
    leaves: tuple[Leaf, ...]
    sections: tuple[Section, ...]
    closing: tuple[str, ...]
