"""Tables become cells with places, and say what is wrong with them; the form is that of RFC 4180."""

import time

import pytest

from proclint.source import Limits, SourceText, Table, read_csv


def table_of(text: str, rows: int = 9) -> Table:
    """Read a table of few rows."""
    return read_csv(SourceText("facts.csv", text), Limits(rows=rows))


def texts(table: Table) -> list[list[str]]:
    """Give the cells of header and rows as texts."""
    return [[cell.text for cell in row] for row in (table.header, *table.rows)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # RFC 4180, section 2, items 1 to 7, each with contents of our own.
        ("make,cap\r\nOstrel,4\r\n", [["make", "cap"], ["Ostrel", "4"]]),
        ("make,cap\r\nOstrel,4", [["make", "cap"], ["Ostrel", "4"]]),
        ('"make","cap"\r\n"Ostrel","4"\r\n', [["make", "cap"], ["Ostrel", "4"]]),
        ('make,note\r\nOstrel,"a,\r\nb"\r\n', [["make", "note"], ["Ostrel", "a,\r\nb"]]),
        ('make,note\r\nOstrel,"say ""no"""\r\n', [["make", "note"], ["Ostrel", 'say "no"']]),
        # Common practice, no source: other line ends, blank lines, spaces around a cell.
        ("make,cap\nOstrel,\n,4\n", [["make", "cap"], ["Ostrel", ""], ["", "4"]]),
        ("make,cap\rOstrel,4\r", [["make", "cap"], ["Ostrel", "4"]]),
        ('make,cap\r"Ostrel",4', [["make", "cap"], ["Ostrel", "4"]]),
        ("\n \nmake,cap\n\r\nOstrel,4\n\n", [["make", "cap"], ["Ostrel", "4"]]),
        ('make , cap\n  Ostrel, "4 " \r\n', [["make", "cap"], ["Ostrel", "4 "]]),
        ('"make",cap\r\nOstrel,4\r', [["make", "cap"], ["Ostrel", "4"]]),
        ('make\n""\n', [["make"], [""]]),
        ('make,size\nOstrel,5" wheel\n', [["make", "size"], ["Ostrel", '5" wheel']]),
        ('"make",a\rb,c\n', [["make", "a\rb", "c"]]),
        ("é,🔑\nß,😀\n", [["é", "🔑"], ["ß", "😀"]]),
    ],
)
def test_cells(text: str, expected: list[list[str]]) -> None:
    """Cells hold what stands in the table, without their quotes."""
    table = table_of(text)
    assert () == table.troubles
    assert expected == texts(table)


def test_cells_know_their_place() -> None:
    """A cell's span cuts out its text, quotes included and spaces not; its path is row and column."""
    text = 'make, "a ""b""" ,🔑\n  Ostrel ,x,"y\r\nz"\n'
    table = table_of(text)
    cuts = [[text[cell.start : cell.end] for cell in row] for row in (table.header, *table.rows)]
    assert [["make", '"a ""b"""', "🔑"], ["Ostrel", "x", '"y\r\nz"']] == cuts
    assert ("facts.csv", (0, 'a "b"')) == (table.place(0, 1).file, table.place(0, 1).path)
    last = table.place(-1, 2)
    assert (("header", "🔑"), 17, 18) == (last.path, last.start, last.end)


@pytest.mark.parametrize(
    ("text", "kind", "span", "message"),
    [
        ("", "syntax", (0, 0), "This table is empty."),
        ("\n \r\n", "syntax", (0, 0), "This table is empty."),
        ('a,b\n1,"2\n3,4\n', "syntax", (6, 7), "A quotation mark that opens here is never closed."),
        ('a,b\n1,"2""', "syntax", (6, 7), "A quotation mark that opens here is never closed."),
        ('a,b\n"1"x,2\n', "syntax", (4, 7), "Text stands after the closing quotation mark."),
        ('a,b\n"1"x', "syntax", (4, 7), "Text stands after the closing quotation mark."),
        ("a,b\n1,2,3\n", "ragged-row", (4, 9), "This row has 3 cells, the header 2."),
        ('a,b\n"1"\n', "ragged-row", (4, 7), "This row has 1 cells, the header 2."),
        ("a\n1\n2\n3\n", "limit", (6, 6), "This table has more than 2 rows."),
        (
            "a,b,a\n1,2,3\n",
            "duplicate-key",
            (4, 5),
            "The column 'a' stands here a second time; only one of the two would count.",
        ),
    ],
)
def test_what_is_wrong_with_a_table(text: str, kind: str, span: tuple[int, int], message: str) -> None:
    """What is wrong is said once, at its place, and nothing of the rest is lost."""
    first, *_ = table_of(text, rows=2).troubles
    assert (kind, span, message) == (first.kind, (first.at.start, first.at.end), first.message)


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_a_conflict_that_nobody_resolved(line_end: str) -> None:
    """Marks that git left in a table are told as a conflict where they begin, and no row is taken for what is meant."""
    lines = ["make,cap", "<<<<<<< ours", "Ostrel,4", "=======", "Ostrel,5", ">>>>>>> theirs", ""]
    table = table_of(line_end.join(lines))
    (trouble,) = table.troubles
    assert ("syntax", line_end.join(lines).index("<"), ()) == (trouble.kind, trouble.at.start, table.texts)
    assert "Two versions of this file were not put together: a conflict begins here." == trouble.message


def test_a_column_twice_shows_both_places() -> None:
    """A column named twice is told with its name and both places."""
    (trouble,) = table_of("a,b,a\n").troubles
    assert trouble.other is not None
    assert (("header", "a"), (0, 1)) == (trouble.at.path, (trouble.other.start, trouble.other.end))


def test_rows_of_the_right_length_stay() -> None:
    """A row too short or too long is left out, the others are read."""
    table = table_of("a,b\n1\n2,3\n4,5,6\n")
    assert [["a", "b"], ["2", "3"]] == texts(table)
    assert ["ragged-row", "ragged-row"] == [trouble.kind for trouble in table.troubles]


def test_exactly_as_many_rows_as_allowed() -> None:
    """A table of as many rows as the limit says is whole."""
    assert () == table_of("a\n1\n2", rows=2).troubles


@pytest.mark.parametrize(
    "text",
    ['"a"' + ",a" * 60_000 + "a" * 4_000_000, '"a""' + '""' * 2_000_000, '"a""b' * 500_000 + '"'],
    ids=["cells", "quotes", "pairs"],
)
def test_no_table_takes_long(text: str) -> None:
    """Cells on a long line take a time that grows with its length, not with their number times its length."""
    start = time.process_time()
    table_of(text)
    # Far below a second where this was written; with a search to the line's end for each cell, far above.
    assert time.process_time() - start < 5
