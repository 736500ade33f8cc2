"""CSV to cells that know where they stand.

The form is that of RFC 4180 with a header row: commas, quotes doubled inside quoted cells, lines that end at
CR LF or LF, or at CR in a file that has no LF. Other than there (section 2, item 4), spaces around a cell are
no part of it: people line columns up. The reader is our own because the standard library's gives no place.
"""

import re
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from proclint.source.conflict import CONFLICT, conflict_in
from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.text import SourceText
from proclint.source.trouble import Trouble

_OPENING = re.compile(' *"')
_QUOTED = re.compile('"([^"]*+(?:""[^"]*+)*+)"')
_SEPARATOR = re.compile("[,\n]")


class Cell(NamedTuple):
    """One cell: its text without quotes and its span, quotes included, in code points."""

    text: str
    start: int
    end: int


@dataclass(frozen=True)
class Table:
    """A table as read: header, the texts of rows as long as the header, where each row starts, and what is wrong with it.

    The spans of cells are read again where somebody asks for them: most are never looked at.
    """

    text: SourceText
    header: tuple[Cell, ...]
    texts: tuple[tuple[str, ...], ...]
    starts: tuple[int, ...]
    troubles: tuple[Trouble, ...]

    @property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """All rows with their spans."""
        return tuple(self.row(number) for number in range(len(self.texts)))

    def row(self, number: int) -> tuple[Cell, ...]:
        """Give the cells of a row with their spans."""
        return _Reader(self.text.name, self._lines, self.starts[number]).cells()

    @cached_property
    def _lines(self) -> str:
        return _in_lines(self.text)

    def place(self, row: int, column: int) -> Place:
        """Give the place of a cell; row -1 is the header."""
        cell = (self.header if row < 0 else self.row(row))[column]
        name = self.header[column].text
        return Place(self.text.name, ("header" if row < 0 else row, name), None, (cell.start, cell.end))


def read_csv(text: SourceText, limits: Limits) -> Table:
    """Read a table. Never raises for what a file holds."""
    reader = _Reader(text.name, _in_lines(text), 0)
    conflict = conflict_in(reader.text)
    if conflict is not None:
        reader.note(conflict, *CONFLICT)
        return Table(text, (), (), (), tuple(reader.troubles))
    records, starts = reader.records(limits.rows + 1)
    if not records:
        reader.note((0, 0), "This table is empty.", "Write a header row, or delete the file.")
        return Table(text, (), (), (), tuple(reader.troubles))
    header = reader.again(starts[0])
    reader.check_names(header)
    if reader.at < len(text.text):
        message = f"This table has more than {limits.rows} rows."
        reader.note((reader.at, reader.at), message, "Split it.", kind="limit")
    whole = [number for number in range(1, len(records)) if reader.is_whole(records[number], starts[number], header)]
    rows, places = tuple(records[number] for number in whole), tuple(starts[number] for number in whole)
    return Table(text, header, rows, places, tuple(reader.troubles))


def _in_lines(text: SourceText) -> str:
    return text.text if "\n" in text.text else text.text.replace("\r", "\n")


class _Reader:
    """Walks through the text once; `at` is the offset reached."""

    def __init__(self, name: str, text: str, at: int) -> None:
        self.name = name
        self.text = text
        self.at = at
        self.troubles: list[Trouble] = []

    def records(self, most: int) -> tuple[list[tuple[str, ...]], list[int]]:
        """Give the texts of each record that is no blank line, and the offset at which it starts."""
        records: list[tuple[str, ...]] = []
        starts: list[int] = []
        text, at, end = self.text, self.at, len(self.text)
        while at < end and len(records) < most:
            line_end = text.find("\n", at)
            line = text[at:] if line_end < 0 else text[at:line_end]
            if '"' in line:
                self.at = at
                record = tuple([cell.text for cell in self.cells()])
                after = self.at
            else:
                record = _texts_of(line)
                after = at + len(line) + 1
            if len(record) > 1 or record[0] or '"' in line:
                records.append(record)
                starts.append(at)
            at = after
        self.at = at
        return records, starts

    def again(self, start: int) -> tuple[Cell, ...]:
        """Give the cells of a record that was read before, whose troubles are told already."""
        return _Reader(self.name, self.text, start).cells()

    def cells(self) -> tuple[Cell, ...]:
        cells = []
        while True:
            cells.append(self.cell())
            stop = self.text[self.at : self.at + 1]
            self.at += 1
            if stop != ",":
                return tuple(cells)

    def cell(self) -> Cell:
        opening = _OPENING.match(self.text, self.at)
        if opening is not None:
            return self.quoted_cell(opening.end() - 1)
        start, self.at = self.at, self.separator(self.at)
        text = self.text[start : self.at]
        return _bare(text if self.text[self.at : self.at + 1] == "," else text.removesuffix("\r"), start)

    def quoted_cell(self, start: int) -> Cell:
        found = _QUOTED.match(self.text, start)
        if found is None:
            self.note((start, start + 1), "A quotation mark that opens here is never closed.", "Close it.")
            self.at = len(self.text)
            return Cell(self.text[start + 1 :], start, self.at)
        self.at = self.separator(found.end())
        if self.text[found.end() : self.at].strip(" ") not in ("", "\r"):
            message = "Text stands after the closing quotation mark."
            self.note(found.span(), message, 'Double the mark inside: "".')
        return Cell(found[1].replace('""', '"'), *found.span())

    def separator(self, at: int) -> int:
        found = _SEPARATOR.search(self.text, at)
        return len(self.text) if found is None else found.start()

    def check_names(self, header: tuple[Cell, ...]) -> None:
        first: dict[str, Cell] = {}
        for cell in header:
            other = first.setdefault(cell.text, cell)
            if other is not cell:
                self.repeated(cell, other)

    def repeated(self, cell: Cell, first: Cell) -> None:
        path = ("header", cell.text)
        place = Place(self.name, path, None, (cell.start, cell.end))
        other = Place(self.name, path, None, (first.start, first.end))
        message = f"The column '{cell.text}' stands here a second time; only one of the two would count."
        change = "Give one of them another name, or delete it."
        self.troubles.append(Trouble("duplicate-key", place, message, change, other))

    def is_whole(self, row: tuple[str, ...], start: int, header: tuple[Cell, ...]) -> bool:
        if len(row) == len(header):
            return True
        message = f"This row has {len(row)} cells, the header {len(header)}."
        change = "Make them equal; put a text with a comma in quotes."
        cells = self.again(start)
        self.note((cells[0].start, cells[-1].end), message, change, kind="ragged-row")
        return False

    def note(self, span: tuple[int, int], message: str, change: str, *, kind: str = "syntax") -> None:
        self.troubles.append(Trouble(kind, Place(self.name, (), None, span), message, change))


def _bare(text: str, start: int) -> Cell:
    start += len(text) - len(text.lstrip(" "))
    text = text.strip(" ")
    return Cell(text, start, start + len(text))


def _texts_of(line: str) -> tuple[str, ...]:
    """Give the texts of a line without quotation marks."""
    line = line.removesuffix("\r").strip(" ")
    texts = line.split(",")
    return tuple([text.strip(" ") for text in texts] if ", " in line or " ," in line else texts)
