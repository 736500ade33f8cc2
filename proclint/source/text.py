"""A file's text, and how its bytes become one."""

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.trouble import Trouble

# The line ends of YAML 1.2.2, section 5.4, and of RFC 4180: U+0085, U+2028 and U+2029 are not among them.
_LINE_END = re.compile(r"\r\n|\n|\r")
_UTF_8_MARK = b"\xef\xbb\xbf"
# The longer mark first: that of UTF-32 begins with that of UTF-16.
_OTHER_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)


@dataclass(frozen=True)
class SourceText:
    """A file's name and text. Lines end at LF, CR LF or CR."""

    name: str
    text: str

    @cached_property
    def _line_starts(self) -> list[int]:
        return [0, *(found.end() for found in _LINE_END.finditer(self.text))]

    def line_column(self, offset: int) -> tuple[int, int]:
        """Give line and column of an offset, both from 1, columns in code points."""
        line = bisect_right(self._line_starts, offset)
        return line, offset - self._line_starts[line - 1] + 1

    def line(self, number: int) -> str:
        """Give the text of a line, numbered from 1, without its end."""
        starts = self._line_starts
        end = starts[number] if number < len(starts) else len(self.text)
        return self.text[starts[number - 1] : end].rstrip("\r\n")


def decode(name: str, data: bytes, limits: Limits) -> SourceText | Trouble:
    """Read bytes as UTF-8, with or without a byte-order mark.

    The mark is no part of the text; the place of a trouble counts code points after it, as the text does.
    """
    if len(data) > limits.size:
        return too_large(name, limits)
    encoding = _other_encoding(data)
    if encoding:
        return _not_text(name, f"This file is {encoding}; only UTF-8 is read.", 0)
    body = data.removeprefix(_UTF_8_MARK)
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        number = error.start + len(data) - len(body) + 1
        offset = len(body[: error.start].decode("utf-8"))
        return _not_text(name, f"Byte {number} (0x{body[error.start]:02x}) is not UTF-8 text.", offset)
    nul = text.find("\0")
    if nul >= 0:
        return _not_text(name, "This file holds a NUL character, so it is not a text.", nul)
    return SourceText(name, text)


def _other_encoding(data: bytes) -> str:
    for mark, encoding in _OTHER_MARKS:
        if data.startswith(mark):
            return encoding
    # A text nearly always begins with an ASCII character, and one of its two bytes is NUL.
    return "UTF-16 without a mark, it seems" if len(data) % 2 == 0 and data[:2].count(0) == 1 else ""


def too_large(name: str, limits: Limits) -> Trouble:
    """Say that a file is over the size limit."""
    return Trouble(
        "limit",
        Place.of_file(name),
        f"This file is larger than {limits.size // 1024} KiB.",
        "Split it, or take out what is not part of the procedure.",
    )


def unreadable(name: str, reason: str) -> Trouble:
    """Say that a file could not be read at all, and why."""
    return Trouble(
        "bytes",
        Place.of_file(name),
        f"This could not be read ({reason}).",
        "Make it a file that can be read, or take it away.",
    )


def _not_text(name: str, message: str, offset: int) -> Trouble:
    place = Place(name, (), None, (offset, offset))
    return Trouble("bytes", place, message, "Save the file as UTF-8 text.")
