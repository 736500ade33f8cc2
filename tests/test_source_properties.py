"""What holds of the readers for any text: they never raise, and places lie within the text."""

import csv
import io
from collections.abc import Iterable, Iterator

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as some

from proclint.source import (
    Document,
    Limits,
    Mapping,
    Node,
    Scalar,
    Sequence,
    SourceText,
    Trouble,
    decode,
    plain,
    read_csv,
    read_yaml,
)

LIMITS = Limits()
KINDS = {"bytes", "limit", "syntax", "not-plain", "key-not-text", "duplicate-key", "ragged-row"}
# Pieces that mean something to the readers, so that random texts come near to what they read.
PARTS = [*("\r\n", "\n  ", "\n- ", ": ", "---\n", "...\n", "? ", "<<: ", "*a", "&a ", "!b ", "\\u", "\\x41")]
PARTS += ['"a,b"', '""', "|-\n  ", "a: ", "{a: "]
PIECES = some.sampled_from([*"abé🔑 \t\n:-?[]{},#&*!|>'\"%@`\\\0\r\x85\u2028\ufeff", *PARTS])
TEXTS = some.one_of(some.text(max_size=40), some.lists(PIECES, max_size=40).map("".join))
ANY_CHARACTER = some.characters(exclude_categories=())
PLAIN_TEXTS = some.text(some.characters(min_codepoint=0x20, max_codepoint=0x1F6FF, exclude_categories=["Cs"]))


def read(text: str) -> Document:
    """Read a text."""
    return read_yaml(SourceText("x.yaml", text), LIMITS)


def nodes(node: Node) -> Iterator[Node]:
    """Walk through a tree, keys included."""
    yield node
    if isinstance(node, Sequence):
        for item in node.items:
            yield from nodes(item)
    if isinstance(node, Mapping):
        for key, value in node.pairs.values():
            yield key
            yield from nodes(value)


def spans(document: Document) -> Iterator[tuple[int, int]]:
    """Give the spans of all nodes and troubles."""
    if document.root is not None:
        yield from ((node.start, node.end) for node in nodes(document.root))
    for trouble in document.troubles:
        for place in (trouble.at, trouble.other or trouble.at):
            yield place.start, place.end


@given(some.one_of(TEXTS, some.text(ANY_CHARACTER, max_size=20)))
@example("\ud800: a")
@example("? " * 2_000)
def test_any_text_is_read_or_refused(text: str) -> None:
    """For any text, even one that no file could hold, the reader gives a tree or says why not."""
    document = read(text)
    assert {trouble.kind for trouble in document.troubles} <= KINDS
    assert document.root is not None or document.troubles
    document.at.part(0, 1)


@given(some.one_of(some.binary(max_size=60), TEXTS.map(lambda text: text.encode("utf-8", "replace"))))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """Any bytes are UTF-8 without NUL and read as Python reads them, or refused with a place within them."""
    found = decode("x.yaml", data, LIMITS)
    if isinstance(found, Trouble):
        assert "bytes" == found.kind
        assert 0 <= found.at.start <= len(data)
    else:
        # Python's own decoder is the reference.
        assert data.decode("utf-8-sig") == found.text
        read_csv(found, LIMITS)
        read_yaml(found, LIMITS)


@given(TEXTS)
def test_places_lie_within_the_text(text: str) -> None:
    """Whatever is read or told, its span begins and ends in the text, in this order."""
    for start, end in spans(read(text)):
        assert 0 <= start <= end <= len(text)


@given(TEXTS)
def test_values_lie_within_their_container(text: str) -> None:
    """The span of a value lies within that of its list or mapping, and after what stands before it."""
    root = read(text).root
    for node in nodes(root) if root is not None else ():
        inner = list(nodes(node))[1:]
        assert all(node.start <= each.start and each.end <= node.end for each in inner)
        if isinstance(node, Sequence):
            assert all(a.end <= b.start for a, b in zip(node.items, node.items[1:], strict=False))


@given(TEXTS)
def test_a_verbatim_scalar_is_cut_out_by_its_place(text: str) -> None:
    """Where a scalar says that offsets fit, its place cuts out its own text, each line end a space."""
    root = read(text).root
    for node in nodes(root) if root is not None else ():
        if isinstance(node, Scalar) and node.is_verbatim:
            cut = text[node.text_start : node.end - node.quote]
            assert node.text == cut.translate({13: " ", 10: " "})


@given(PLAIN_TEXTS, some.sampled_from(["{}", "- {}", "a: {}  # b", "[c, {} ]", "{{d: {}}}", "🔑: {}\r\n"]))
def test_a_plain_scalar_on_one_line_is_cut_out(written: str, around: str) -> None:
    """The place of a plain scalar on one line cuts out its own text, whatever stands around."""
    text = around.format(written)
    document = read(text)
    # An anchor or tag is part of the span, and a block has more lines than one.
    is_plain = document.is_readable and not {"|", ">"} & set(written)
    for node in nodes(document.root) if is_plain and document.root is not None else ():
        if isinstance(node, Scalar) and not node.quote:
            assert node.text == text[node.start : node.end]


@given(TEXTS)
def test_lines_and_columns_lead_back(text: str) -> None:
    """Line and column of an offset lead back to the character that stands there."""
    source = SourceText("x", text)
    for offset, character in enumerate(text):
        line, column = source.line_column(offset)
        if character not in "\r\n":
            assert character == source.line(line)[column - 1]


# Every example takes the attribute away and puts it back by itself.
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TEXTS)
def test_the_twin_in_python_reads_the_same(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """A text that can be read with libyaml and without gives the same tree and places."""
    document = read(text)
    with monkeypatch.context() as patch:
        patch.delattr(yaml, "CBaseLoader")
        other = read(text)
    if document.root is not None and other.root is not None and other.is_readable:
        assert plain(document.root) == plain(other.root)
        assert list(spans(document)) == list(spans(other))
        assert document.troubles == other.troubles


CELLS = some.text(some.sampled_from("ab ,\"'\n\té🔑;"), max_size=6)
TABLES = some.integers(1, 4).flatmap(
    lambda width: some.lists(some.lists(CELLS, min_size=width, max_size=width), min_size=1, max_size=6)
)


def written(table: list[list[str]], quoting: int, line_end: str) -> str:
    """Write a table with the standard library's csv module."""
    stream = io.StringIO(newline="")
    csv.writer(stream, quoting=quoting, lineterminator=line_end).writerows(table)  # type: ignore[arg-type]
    return stream.getvalue()


def cells(text: str) -> list[list[str]]:
    """Read a table whose columns may have any names."""
    table = read_csv(SourceText("facts.csv", text), LIMITS)
    assert {trouble.kind for trouble in table.troubles} <= {"duplicate-key"}
    return [[cell.text for cell in row] for row in (table.header, *table.rows)]


def stripped(rows: Iterable[list[str]]) -> list[list[str]]:
    """Take away the spaces around cells, and rows that are one blank cell."""
    blank = [[cell.strip(" ") for cell in row] for row in rows]
    return [row for row in blank if row not in ([], [""])]


@given(TABLES, some.sampled_from(["\r\n", "\n"]))
def test_quoted_tables_come_back(table: list[list[str]], line_end: str) -> None:
    """What Python's csv module (RFC 4180) writes in quotes is read as it was and as csv reads it."""
    text = written(table, csv.QUOTE_ALL, line_end)
    assert table == cells(text) == list(csv.reader(io.StringIO(text, newline="")))


@given(TABLES, some.sampled_from(["\r\n", "\n"]))
def test_tables_come_back(table: list[list[str]], line_end: str) -> None:
    """What the csv module writes with quotes where needed is read as csv reads it, spaces aside."""
    table = [["a"] * len(table[0]), *table]
    text = written(table, csv.QUOTE_MINIMAL, line_end)
    assert stripped(csv.reader(io.StringIO(text, newline=""))) == stripped(cells(text))


@given(TEXTS)
def test_any_table_is_read_or_refused(text: str) -> None:
    """For any text the table reader gives rows as long as the header and places within the text."""
    table = read_csv(SourceText("facts.csv", text), LIMITS)
    assert {len(table.header)} >= {len(row) for row in table.rows}
    assert table.header or table.troubles
    for row in (table.header, *table.rows):
        for cell in row:
            assert 0 <= cell.start <= cell.end <= len(text)
    for trouble in table.troubles:
        assert 0 <= trouble.at.start <= trouble.at.end <= len(text)
