"""What has the right shape and no meaning: days that do not exist, ranges that run from more to less, one name for two things.

A schema cannot say any of it, and what works on a procedure afterwards should not have to ask again.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue import Attribute, read_duration
from proclint.model import fields
from proclint.model.fault import Fault
from proclint.model.ranges import in_words, months_put_right, put_right
from proclint.source import Document, Node, Place, Scalar, Sequence, Table
from proclint.source import Mapping as Tree
from proclint.source.place import Path

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_A_DAY = "a day that exists, such as 2026-03-01"
_COMMON = {"date": "day", "years": "years", "build": "months", "here": "count", "away": "count", "takes": "time"}
# What a field holds, by its name. The days of an accepted result have no shape of their own.
_FIELDS = MappingProxyType({"accepted": {"on": "some-day", "until": "some-day"}})
_COLUMNS = MappingProxyType({"years": "years", "months": "months", "count": "count", "quantity": "count", "text": "day"})
_TIMES = frozenset({"s", "min", "h", "d"})
# Where a way may lead, and what a person calls it.
_PARTS = MappingProxyType({"steps": "a step", "fallbacks": "a fallback", "endings": "an ending"})


class _Said(NamedTuple):
    """What is wrong with one text: kind of fault, what to show, what may stand there, what was meant."""

    kind: str
    found: str
    expected: str = ""
    suggestion: str = ""

    def at(self, place: Place, name: str) -> Fault:
        return Fault(self.kind, place, name, self.found, self.expected, self.suggestion)


def senseless(document: Document, kind: str) -> tuple[Fault, ...]:
    """Give what makes no sense in a file of a kind, in file order; what has not the right shape is left to `shape_faults`."""
    at = document.at
    if at.node is None:
        return ()
    holds = _FIELDS.get(kind, _COMMON)
    found = [*_of_fields(at, holds), *_bounds(at), *_names(at)]
    return tuple(sorted(found, key=lambda fault: fault.at.start))


def _of_fields(at: Place, holds: Mapping[str, str]) -> Iterator[Fault]:
    # Paths and places are made only where there is something to tell: nearly all is well.
    if at.node is not None and _is_senseless(at.node, holds):
        for path, name, text in _texts(at.node, holds):
            said = _said(holds[name], text)
            if said is not None:
                yield said.at(_inside(at, path) / name, name)


def _is_senseless(root: Node, holds: Mapping[str, str]) -> bool:
    waiting = [root]
    for node in waiting:
        if type(node) is Tree:
            for name, (_, value) in node.pairs.items():
                if type(value) is not Scalar:
                    waiting.append(value)
                elif name in holds and _said(holds[name], value.text) is not None:
                    return True
        elif type(node) is Sequence:
            waiting += [item for item in node.items if type(item) is not Scalar]
    return False


def _texts(node: Node, holds: Mapping[str, str], path: Path = ()) -> Iterator[tuple[Path, str, str]]:
    """Give each field that holds something to look at: the path that leads there, its name and text."""
    if isinstance(node, Tree):
        for name, (_, value) in node.pairs.items():
            if not isinstance(value, Scalar):
                yield from _texts(value, holds, (*path, name))
            elif name in holds:
                yield path, name, value.text
    elif not isinstance(node, Scalar):
        for index, item in enumerate(node.items):
            yield from _texts(item, holds, (*path, index))


def _inside(at: Place, path: Path) -> Place:
    for step in path:
        at = at / step
    return at


def _said(holds: str, text: str) -> _Said | None:
    if holds in ("day", "some-day"):
        is_looked_at = bool(text) if holds == "some-day" else _DAY.fullmatch(text) is not None
        return _Said("wrong-shape", text, _A_DAY) if is_looked_at and not _is_day(text) else None
    better = months_put_right(text) if holds == "months" else put_right(text)
    if not better or (holds == "time") != (" " in text):
        return None
    if holds == "time":
        return _Said("time-inverted", in_words(text), suggestion=better)
    return _Said("wrong-shape" if holds == "count" else "years-inverted", text, suggestion=better)


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return _DAY.fullmatch(text) is not None


def _bounds(at: Place) -> Iterator[Fault]:
    """Find the windows whose shortest time is longer than their longest."""
    for _, window in fields.parts_in(at, "windows"):
        least, most = (fields.text_of(window.node, bound) for bound in ("at-least", "at-most"))
        first, last = read_duration(least), read_duration(most)
        if first is not None and last is not None and first.least > last.most:
            found = f"at least {least} and at most {most}"
            yield Fault("time-inverted", window / "at-most", "at-most", found, "the longer of the two times")


def _names(at: Place) -> Iterator[Fault]:
    """Find what bears the name of something else to which a way may lead."""
    parts = [node.pairs for node in (fields.field(at.node, part) for part in _PARTS) if isinstance(node, Tree)]
    exits = fields.words_in(at, "exits")
    # No name twice, and there is nothing to look for.
    if len({word.text for word in exits}.union(*parts)) == len(exits) + sum(map(len, parts)):
        return
    first: dict[str, tuple[str, Place]] = {}
    for part, what in _PARTS.items():
        for name, _ in fields.parts_in(at, part):
            yield from _named(name, what, (at / part).key(name), first)
    for word in exits:
        yield from _named(word.text, "an exit", word.at, first)


def _named(name: str, what: str, at: Place, first: dict[str, tuple[str, Place]]) -> Iterator[Fault]:
    known, other = first.setdefault(name, (what, at))
    if known != what:
        yield Fault("name-of-two", at, name, f"{known} or {what}", other=other)


def senseless_cells(table: Table, attributes: Mapping[str, Attribute]) -> tuple[Fault, ...]:
    """Give what makes no sense in the cells of a facts table, row by row."""
    columns = [(at, attributes[cell.text]) for at, cell in enumerate(table.header) if cell.text in attributes]
    return tuple(
        said.at(table.place(row, at), column.name)
        for row, texts in enumerate(table.texts)
        for at, column in columns
        for text in texts[at].split("|")
        if (said := _said_of_cell(column, text)) is not None
    )


def _said_of_cell(column: Attribute, text: str) -> _Said | None:
    if column.type in ("count", "quantity") and column.unit in _TIMES:
        said = _said("time", f"{text} {column.unit}")
        # The unit stands in the catalogue, not in the cell.
        return said._replace(suggestion=put_right(text)) if said is not None else None
    holds = _COLUMNS.get(column.type)
    return _said(holds, text) if holds is not None else None
