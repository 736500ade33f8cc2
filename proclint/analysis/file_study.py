"""What is known of a file before its meaning is looked at."""

from typing import NamedTuple

from proclint.catalogue import Catalogue
from proclint.model import Fault, Flow, fields, kind_of, read_flow
from proclint.model.sense import senseless, senseless_cells
from proclint.model.shape import shape_faults
from proclint.source import Document, Limits, Place, SourceText, Table, Trouble, decode, read_csv, read_yaml

# The kinds of file that hold steps; `steps` itself is one of which nobody knows yet which of the two it is.
STEPS = frozenset({"procedure", "block", "steps"})


class FileStudy(NamedTuple):
    """A file as read: its text, kind, what is wrong with its bytes or shape, and its step graph if it has one.

    `kind` is `procedure`, `block`, `library`, `sources`, `accepted` or `facts`. `flow` is there where nothing but a repeated name
    or a missing version of a block is wrong with the shape.
    """

    text: SourceText
    kind: str
    document: Document | None
    table: Table | None
    troubles: tuple[Trouble, ...]
    faults: tuple[Fault, ...]
    flow: Flow | None
    on: str

    @property
    def file(self) -> str:
        """The file's name as it was given."""
        return self.text.name

    @property
    def at(self) -> Place:
        """The place of the file's top."""
        return self.document.at if self.document is not None else Place.of_file(self.file)

    def place_at(self, start: int, end: int) -> Place:
        """Give the place of a stretch of the text, in code points, with the path of no node."""
        return Place(self.file, (), None, (start, end))

    @property
    def block(self) -> str:
        """The name of the block that the file holds or, where it cannot be read, that it would hold; nothing for others."""
        name = fields.text_of(self.document.root, "block") if self.document is not None else ""
        parts = self.file.split("/")
        return name or (parts[-1].partition(".")[0] if self.kind != "procedure" and "blocks" in parts[-2:-1] else "")

    @property
    def has_steps(self) -> bool:
        """Whether it is a procedure or a block, readable or not."""
        return self.kind in STEPS

    @property
    def is_draft(self) -> bool:
        """Whether the file says of itself that it is a draft."""
        return self.document is not None and fields.text_of(self.document.root, "stage") == "draft"

    @property
    def is_sound(self) -> bool:
        """Whether its meaning can be looked at whole."""
        return not self.troubles and all(fault.kind == "block-not-pinned" for fault in self.faults)


def study_file(name: str, data: bytes | Trouble, kind: str, catalogue: Catalogue, *, on: str) -> FileStudy:
    """Read a file of a kind (`steps` for a procedure or a block); a trouble in place of data says why there is none."""
    limits = Limits()
    text = data if isinstance(data, Trouble) else decode(name, data, limits)
    if isinstance(text, Trouble):
        body = b"" if isinstance(data, Trouble) or len(data) > limits.size else data
        shown = body.decode("utf-8", "replace").removeprefix("\ufeff")
        return FileStudy(SourceText(name, shown), kind, None, None, (text,), (), None, on)
    if kind == "facts":
        table = read_csv(text, limits)
        return FileStudy(text, kind, None, table, table.troubles, senseless_cells(table, catalogue.attributes), None, on)
    return _study_tree(read_yaml(text, limits), kind, catalogue, on)


def _study_tree(document: Document, kind: str, catalogue: Catalogue, on: str) -> FileStudy:
    if kind == "steps":
        kind = kind_of(document)
    faults: tuple[Fault, ...] = ()
    flow: Flow | None = None
    if document.is_readable:
        faults = (*shape_faults(document, kind), *senseless(document, kind))
        if not faults and kind in ("procedure", "block"):
            reading = read_flow(document, catalogue)
            faults, flow = reading.faults, reading.flow
    return FileStudy(document.text, kind, document, None, document.troubles, faults, flow, on)
