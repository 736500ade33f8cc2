"""A facts table as claims, and what of it has no meaning; so for the field reports, of which each line is a source of its own."""

import re
from collections.abc import Iterator
from datetime import date
from typing import NamedTuple, final

from proclint.analysis.facts.boxes import Box, pack, uncovered
from proclint.analysis.facts.claims import Application, Claim, ClaimReader, Read, Statement
from proclint.analysis.facts.overlaps import is_one_model
from proclint.catalogue.domains import Unfit, is_compared
from proclint.catalogue.nearest import nearest
from proclint.source import Place, Table

# The table of field reports, the columns that only it has (beside the quantities of `relations.yaml`), and a member's number.
REPORTS = "field-reports"
_BY, _ON = "by", "on"
_MEMBER = re.compile(r"m-[0-9]{2,4}")


class BadCell(NamedTuple):
    """A cell that has no meaning; a place in the header for a whole column.

    `why.kind` is one of Unfit's, or `unknown-column`, `not-signed` in a field report, or `same-row-twice`, where `other` is in
    the earlier row.
    """

    at: Place
    column: str
    why: Unfit
    other: Place | None = None


class NotKnown(NamedTuple):
    """An attribute that a source says it does not know, of an application's vehicles."""

    attribute: str
    application: Application
    column: int


class TableClaims(NamedTuple):
    """What a table says. A row with a bad cell that narrows says nothing, as nobody knows of which vehicles."""

    applications: tuple[Application, ...]
    claims: tuple[Claim, ...]
    not_known: tuple[NotKnown, ...]
    bad: tuple[BadCell, ...]


def read_table(table: Table, source: str, reader: ClaimReader) -> TableClaims:
    """Read a source's table: its claims by row and column, and its cells without a meaning.

    Of two rows of one source the one that narrows more columns wins inside the other: the wider row's claim is then
    made of what is left, in as many claims as that takes boxes.
    """
    reading = _Reading(table, source, reader)
    for number in range(len(table.texts)):
        reading.row(number)
    bad = (*reading.unknown_columns(), *reading.bad, *reading.repeated_rows())
    claims = reading.carved()
    return TableClaims(tuple(reading.applications), tuple(claims), tuple(reading.not_known), bad)


class Reporter(NamedTuple):
    """Who made a field report, on which day, and the id that it bears as a source."""

    source: str
    by: str
    on: str


class FieldReports(NamedTuple):
    """What field reports say, and who made them; a report that is not signed and dated says nothing."""

    said: TableClaims
    reporters: tuple[Reporter, ...]


def read_reports(table: Table, reader: ClaimReader) -> FieldReports:
    """Read the field reports: a line is what one member saw on one day, and it is no exception to another line."""
    reading = _Reading(table, "", reader, is_of_reports=True)
    names = [cell.text for cell in table.header]
    reporters = []
    for number, row in enumerate(table.texts):
        said = dict(zip(names, row, strict=True))
        if reading.is_signed(number, said):
            by, on = said[_BY], said[_ON]
            reporters.append(Reporter(f"report by {by} on {on}", by, on))
            reading.source = reporters[-1].source
            reading.row(number)
    bad = (*reading.unknown_columns(), *reading.bad, *reading.repeated_rows())
    told = TableClaims(tuple(reading.applications), tuple(reading.claims), tuple(reading.not_known), bad)
    return FieldReports(told, tuple(dict.fromkeys(reporters)))


def _is_member(text: str) -> bool:
    return _MEMBER.fullmatch(text) is not None


def _is_day(text: str) -> bool:
    """Whether a text is a day that exists, in the extended form of ISO 8601."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


class _Misplaced(NamedTuple):
    """A bad cell of those that narrow."""

    column: int
    why: Unfit


@final
class _Reading:
    """One table being read, row by row."""

    def __init__(self, table: Table, source: str, reader: ClaimReader, *, is_of_reports: bool = False) -> None:
        self.table = table
        self.source = source
        self.reader = reader
        self.applications: list[Application] = []
        self.claims: list[Claim] = []
        self.not_known: list[NotKnown] = []
        self.bad: list[BadCell] = []
        self.boxes: dict[tuple[str, ...], Box | _Misplaced] = {}
        self.rows_of: dict[tuple[str, ...], list[int]] = {}
        attributes, relations = reader.relations.attributes, reader.relations
        names = [(index, cell.text) for index, cell in enumerate(table.header)]
        self.known = frozenset(attributes) | {_BY} if is_of_reports else frozenset(attributes) - frozenset(relations.quantities)
        self.narrowing = [(index, reader.space.axis(name)) for index, name in names if name in reader.space.dimensions]
        self.masks: list[dict[str, int | Unfit]] = [{} for _ in reader.space.dimensions]
        # What narrows is a claim too where a relation speaks of it: such a vehicle is of that kind.
        wanted = {name for name in self.known - {_BY} if is_compared(attributes[name]) or name in relations.domains}
        self.columns = [(index, name, reader.read[name]) for index, name in names if name in wanted]

    def is_signed(self, number: int, said: dict[str, str]) -> bool:
        """Whether a field report says by whom and of which day it is; what is missing is told."""
        for name, fits, expected in (
            (_BY, _is_member, "a member number such as m-07"),
            (_ON, _is_day, "a day such as 2026-03-01"),
        ):
            text = said.get(name, "")
            if not fits(text):
                column = list(said).index(name) if name in said else 0
                self.bad.append(BadCell(self.table.place(number, column), name, Unfit("not-signed", text, expected)))
                return False
        return True

    def row(self, number: int) -> None:
        row = self.table.texts[number]
        key = tuple([row[index] for index, _ in self.narrowing])
        self.rows_of.setdefault(key, []).append(number)
        box = self.boxes.get(key)
        if box is None:
            box = self.boxes[key] = self.new_box(row)
        if isinstance(box, _Misplaced):
            self.bad.append(BadCell(self.table.place(number, box.column), self.table.header[box.column].text, box.why))
            return
        application = Application(self.source, box, self.table, number)
        self.applications.append(application)
        claims = self.claims
        for index, name, read in self.columns:
            text = row[index]
            if text:
                said = read.get(text) or self.reader.statement(name, text)
                if said.__class__ is Statement:
                    # As Claim(...) does, in half the time: there are as many claims as cells.
                    claims.append(tuple.__new__(Claim, (said, application, index, text)))
                else:
                    self.no_claim(said, application, index)

    def no_claim(self, said: Read, application: Application, index: int) -> None:
        name = self.table.header[index].text
        if isinstance(said, Unfit):
            self.bad.append(BadCell(application.at(index), name, said))
        else:
            self.not_known.append(NotKnown(name, application, index))

    def new_box(self, row: tuple[str, ...]) -> Box | _Misplaced:
        box = list(self.reader.space.everything)
        for index, axis in self.narrowing:
            text = row[index]
            if text:
                mask = self.masks[axis].get(text)
                if mask is None:
                    mask = self.masks[axis][text] = self.reader.space.mask(self.reader.space.dimensions[axis], text)
                if isinstance(mask, Unfit):
                    return _Misplaced(index, mask)
                box[axis] = mask
        return tuple(box)

    def unknown_columns(self) -> Iterator[BadCell]:
        for index, cell in enumerate(self.table.header):
            if cell.text not in self.known:
                why = Unfit("unknown-column", cell.text, "the name of an attribute", nearest(cell.text, sorted(self.known)))
                yield BadCell(self.table.place(-1, index), cell.text, why)

    def repeated_rows(self) -> Iterator[BadCell]:
        for same in self.rows_of.values():
            first: dict[tuple[str, ...], int] = {}
            for number in same if len(same) > 1 else ():
                earlier = first.setdefault(self.table.texts[number], number)
                if earlier != number:
                    why = Unfit("same-row-twice", self.table.texts[number][0], "a row once")
                    places = self.table.place(number, 0), self.table.place(earlier, 0)
                    yield BadCell(places[0], self.table.header[0].text, why, places[1])

    def carved(self) -> Iterator[Claim]:
        """Take from each wider row's claim what a narrower row inside it claims of the same attribute."""
        inside = self.exceptions()
        if not inside:
            yield from self.claims
            return
        said = {(claim.application.row, claim.column) for claim in self.claims}
        left: dict[tuple[int, ...], list[Application]] = {}
        for claim in self.claims:
            row = claim.application.row
            inner = [other for other in inside.get(row, ()) if (other.row, claim.column) in said]
            if not inner:
                yield claim
                continue
            key = (row, *(other.row for other in inner))
            if key not in left:
                boxes = uncovered(claim.box, [other.box for other in inner])
                left[key] = [Application(self.source, box, self.table, row) for box in boxes]
            yield from (claim._replace(application=each) for each in left[key])

    def exceptions(self) -> dict[int, list[Application]]:
        """Give, for each row by its number, the rows inside it that narrow more columns."""
        space, found = self.reader.space, dict[int, list[Application]]()
        narrows = {each.row: self.columns_narrowed(each) for each in self.applications}
        groups: dict[tuple[int, int], list[Application]] = {}
        for each in self.applications if len(set(narrows.values())) > 1 else ():
            groups.setdefault((each.box[space.axis("make")], each.box[space.axis("model")]), []).append(each)
        wide = [each for key, group in groups.items() if not is_one_model(key) for each in group]
        for group in [*(group for key, group in groups.items() if is_one_model(key)), []]:
            outer = [*group, *wide]
            packed = pack([each.box for each in outer])
            inner = list(zip(group or wide, packed, strict=False))
            for each, box in zip(outer, packed, strict=True):
                outside, count = ~box, narrows[each.row]
                near = [other for other, box in inner if not box & outside and narrows[other.row] > count]
                if near:
                    found.setdefault(each.row, []).extend(near)
        return found

    def columns_narrowed(self, application: Application) -> int:
        row = self.table.texts[application.row]
        return sum([bool(row[index]) for index, _ in self.narrowing])
