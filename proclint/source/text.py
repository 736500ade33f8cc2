"""A file's text, and how its bytes become one."""

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.trouble import Trouble

_LINE_END = re.compile(r"\r\n|\n|\r")
_BOMS = ((b"\xff\xfe", "UTF-16"), (b"\xfe\xff", "UTF-16"), (b"\x00\x00\xfe\xff", "UTF-32"))


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
    """Read bytes as UTF-8, with or without a byte-order mark."""
    if len(data) > limits.size:
        return too_large(name, limits)
    for bom, encoding in _BOMS:
        if data.startswith(bom):
            return _not_text(name, f"This file is {encoding}; only UTF-8 is read.", 0)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        offset = len(data[: error.start].decode("utf-8"))
        return _not_text(name, f"Byte {error.start + 1} (0x{data[error.start]:02x}) is not UTF-8 text.", offset)
    text = text.removeprefix("\ufeff")
    nul = text.find("\0")
    if nul >= 0:
        return _not_text(name, "This file holds a NUL character, so it is not a text.", nul)
    return SourceText(name, text)


def too_large(name: str, limits: Limits) -> Trouble:
    """Say that a file is over the size limit."""
    return Trouble(
        "limit",
        Place.of_file(name),
        f"This file is larger than {limits.size // 1024} KiB.",
        "Split it, or take out what is not part of the procedure.",
    )


def _not_text(name: str, message: str, offset: int) -> Trouble:
    place = Place(name, (), None, (offset, offset))
    return Trouble("bytes", place, message, "Save the file as UTF-8 text.")
