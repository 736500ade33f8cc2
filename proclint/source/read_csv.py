"""CSV to cells that know where they stand.

The form is that of RFC 4180 with a header row; commas, quotes doubled inside quoted cells, LF or CR LF. The reader
is our own because the standard library's gives no place for a cell.
"""

from dataclasses import dataclass

from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.text import SourceText
from proclint.source.trouble import Trouble


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text without quotes and its span, quotes included, in code points."""

    text: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Table:
    """A table as read: header, rows as long as the header, and what is wrong with it."""

    text: SourceText
    header: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    troubles: tuple[Trouble, ...]

    def place(self, row: int, column: int) -> Place:
        """Give the place of a cell; row -1 is the header."""
        cell = (self.header if row < 0 else self.rows[row])[column]
        name = self.header[column].text
        return Place(self.text.name, ("header" if row < 0 else row, name), None, (cell.start, cell.end))


def read_csv(text: SourceText, limits: Limits) -> Table:
    """Read a table. Never raises for what a file holds."""
    reader = _Reader(text)
    records = reader.records(limits.rows + 1)
    if not records:
        reader.note((0, 0), "This table is empty.", "Write a header row, or delete the file.")
        return Table(text, (), (), tuple(reader.troubles))
    header, *rows = records
    if reader.at < len(text.text):
        reader.note((reader.at, reader.at), f"This table has more than {limits.rows} rows.", "Split it.", kind="limit")
    whole = tuple(row for row in rows if reader.is_whole(row, header))
    return Table(text, header, whole, tuple(reader.troubles))


class _Reader:
    """Walks through the text once; `at` is the offset reached."""

    def __init__(self, text: SourceText) -> None:
        self.name = text.name
        self.text = text.text
        self.at = 0
        self.troubles: list[Trouble] = []

    def records(self, most: int) -> list[tuple[Cell, ...]]:
        records = []
        while self.at < len(self.text) and len(records) < most:
            record = self.record()
            if record != () and (len(record) > 1 or record[0].text):
                records.append(record)
        return records

    def record(self) -> tuple[Cell, ...]:
        line_end = self.text.find("\n", self.at)
        line_end = len(self.text) if line_end < 0 else line_end
        if '"' not in self.text[self.at : line_end]:
            return self.simple_record(line_end)
        cells = []
        while True:
            cells.append(self.cell())
            stop = self.text[self.at : self.at + 1]
            self.at += 1
            if stop != ",":
                return tuple(cells)

    def simple_record(self, line_end: int) -> tuple[Cell, ...]:
        start, cells = self.at, []
        for text in self.text[start:line_end].removesuffix("\r").split(","):
            cells.append(Cell(text.strip(" "), start, start + len(text)))
            start += len(text) + 1
        self.at = line_end + 1
        return tuple(cells)

    def cell(self) -> Cell:
        start = self.at
        if self.text[start : start + 1] == '"':
            return self.quoted_cell(start)
        ends = [at for at in (self.text.find(",", start), self.text.find("\n", start)) if at >= 0]
        self.at = min(ends, default=len(self.text))
        text = self.text[start : self.at].removesuffix("\r")
        return Cell(text.strip(" "), start, start + len(text))

    def quoted_cell(self, start: int) -> Cell:
        close = start + 1
        while True:
            close = self.text.find('"', close)
            if close < 0:
                self.note((start, start + 1), "A quotation mark that opens here is never closed.", "Close it.")
                self.at = len(self.text)
                return Cell(self.text[start + 1 :], start, self.at)
            if self.text[close + 1 : close + 2] != '"':
                break
            close += 2
        self.at = close + 1
        self.skip_to_separator(start)
        return Cell(self.text[start + 1 : close].replace('""', '"'), start, close + 1)

    def skip_to_separator(self, start: int) -> None:
        if self.text[self.at : self.at + 1] == "\r":
            self.at += 1
        if self.text[self.at : self.at + 1] not in (",", "\n", ""):
            self.note((start, self.at), "Text stands after the closing quotation mark.", 'Double the mark inside: "".')
            ends = [at for at in (self.text.find(",", self.at), self.text.find("\n", self.at)) if at >= 0]
            self.at = min(ends, default=len(self.text))

    def is_whole(self, row: tuple[Cell, ...], header: tuple[Cell, ...]) -> bool:
        if len(row) == len(header):
            return True
        message = f"This row has {len(row)} cells, the header {len(header)}."
        self.note((row[0].start, row[-1].end), message, "Make them equal; put a text with a comma in quotes.", kind="ragged-row")
        return False

    def note(self, span: tuple[int, int], message: str, change: str, *, kind: str = "syntax") -> None:
        self.troubles.append(Trouble(kind, Place(self.name, (), None, span), message, change))
