"""Bytes become a text whose lines and columns are an editor's, or are refused at the right spot."""

import pytest

from proclint.source import Limits, SourceText, Trouble, decode

LIMITS = Limits()


def text_of(data: bytes) -> SourceText:
    """Decode what must be readable."""
    found = decode("x.yaml", data, LIMITS)
    assert isinstance(found, SourceText), found
    return found


def trouble_of(data: bytes, limits: Limits = LIMITS) -> Trouble:
    """Decode what must be refused."""
    found = decode("x.yaml", data, limits)
    assert isinstance(found, Trouble), found
    return found


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["without mark", "with mark"])
def test_utf_8_is_read(mark: bytes) -> None:
    """UTF-8 is read with or without a byte-order mark, which is no part of the text."""
    assert SourceText("x.yaml", "née: 🔑\r\n") == text_of(mark + "née: 🔑\r\n".encode())


@pytest.mark.parametrize(
    ("encoding", "mark", "named"),
    [
        # The marks are those of The Unicode Standard, section 23.8, table 23-5 (from memory).
        ("utf-16-le", b"\xff\xfe", "UTF-16;"),
        ("utf-16-be", b"\xfe\xff", "UTF-16;"),
        ("utf-32-le", b"\xff\xfe\x00\x00", "UTF-32;"),
        ("utf-32-be", b"\x00\x00\xfe\xff", "UTF-32;"),
        ("utf-16-le", b"", "UTF-16 without a mark"),
        ("utf-16-be", b"", "UTF-16 without a mark"),
        ("utf-32-le", b"", "UTF-16 without a mark"),
        ("utf-32-be", b"", "NUL character"),
    ],
)
def test_other_encodings_are_refused(encoding: str, mark: bytes, named: str) -> None:
    """UTF-16 and UTF-32 are refused, by name where the first bytes tell."""
    trouble = trouble_of(mark + "steps: {}\n".encode(encoding))
    assert "bytes" == trouble.kind
    assert named in trouble.message


def test_a_text_with_nul_of_even_length_is_not_called_utf_16() -> None:
    """A NUL further on is named for what it is, at its place."""
    trouble = trouble_of(b"a: b\nc: \0d\n\n")
    assert "This file holds a NUL character, so it is not a text." == trouble.message
    assert ("bytes", 8) == (trouble.kind, trouble.at.start)


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["without mark", "with mark"])
@pytest.mark.parametrize(
    ("body", "number", "byte", "line_column"),
    [
        (b"\xff", 1, "0xff", (1, 1)),
        (b"ok: 1\r\n  \xc3\xa9\xf0\x9f\x94\x91\xe9 later\n", 16, "0xe9", (2, 5)),
        (b"a\rb\xc3", 4, "0xc3", (2, 2)),
        # UTF-8 writes no surrogate and nothing in more bytes than needed: RFC 3629, section 3.
        (b"x\xed\xa0\x80", 2, "0xed", (1, 2)),
        (b"x\xc0\xaf", 2, "0xc0", (1, 2)),
    ],
)
def test_invalid_bytes_have_a_place(mark: bytes, body: bytes, number: int, byte: str, line_column: tuple[int, int]) -> None:
    """The first byte that is not UTF-8 is named by its number in the file, line and column in code points."""
    trouble = trouble_of(mark + body)
    assert f"Byte {number + len(mark)} ({byte}) is not UTF-8 text." == trouble.message
    shown = SourceText("x.yaml", body.decode("utf-8", "replace"))
    assert line_column == shown.line_column(trouble.at.start)


@pytest.mark.parametrize("character", ["a", "é", "🔑"])
def test_size_is_counted_in_bytes(character: str) -> None:
    """A file of exactly the limit is read, of one byte more refused, whatever its characters."""
    data = character.encode() * 12
    assert text_of(data) == decode("x.yaml", data, Limits(size=len(data)))
    assert "limit" == trouble_of(data, Limits(size=len(data) - 1)).kind


def test_the_size_limit_is_named() -> None:
    """Who wrote too large a file reads how large it may be: 1 MiB."""
    trouble = trouble_of(b"#" * (1024 * 1024 + 1))
    assert "This file is larger than 1024 KiB." == trouble.message
    assert 1024 * 1024 == len(text_of(b"#" * 1024 * 1024).text)


@pytest.mark.parametrize(
    ("text", "offset", "expected"),
    [
        ("", 0, (1, 1)),
        ("a\nb", 1, (1, 2)),
        ("a\nb", 2, (2, 1)),
        ("a\nb", 3, (2, 2)),
        ("a\r\nb", 3, (2, 1)),
        ("a\rb\r", 2, (2, 1)),
        ("a\rb\r", 4, (3, 1)),
        ("a\n\r\nb", 4, (3, 1)),
        ("🔑é: x", 4, (1, 5)),
        # No line ends in YAML 1.2.2, section 5.4.
        ("a\u2028\x85\u2029\x0b\x0cb", 6, (1, 7)),
    ],
)
def test_lines_and_columns(text: str, offset: int, expected: tuple[int, int]) -> None:
    """Lines end at LF, CR LF and CR alone; columns count code points; both begin at 1."""
    assert expected == SourceText("x", text).line_column(offset)


def test_lines_are_given_without_their_ends() -> None:
    """A line is given by its number, the last one also where no line end follows."""
    text = SourceText("x", "a\r\n\rbé \nc")
    assert ["a", "", "bé ", "c"] == [text.line(number) for number in (1, 2, 3, 4)]
    assert "" == SourceText("x", "a\n").line(2)
