"""From a document of the right shape to a procedure or a block."""

from collections.abc import Mapping
from typing import NamedTuple

from proclint.catalogue import Catalogue
from proclint.model import fields
from proclint.model.fault import Fault
from proclint.model.flow import Word
from proclint.model.procedure import Block, End, Flow, KeyGroup, Procedure, Signed, Vehicles
from proclint.model.read_flow import FlowReader, words_by_name
from proclint.source import Document, Place
from proclint.source import Mapping as Tree

# What is said of a group of keys besides its kind and how many there are.
_DETAILS = frozenset({"chip", "frequency", "part", "cut", "one-time"})


class Reading(NamedTuple):
    """A file as a step graph, with the faults met on the way."""

    flow: Flow
    faults: tuple[Fault, ...]


def kind_of(document: Document) -> str:
    """Say whether a document is a `procedure` or a `block`."""
    return "block" if fields.field(document.root, "block") is not None else "procedure"


def read_flow(document: Document, catalogue: Catalogue) -> Reading:
    """Read a document whose shape holds (see `shape_faults`) into a procedure or a block."""
    at = document.at
    if kind_of(document) == "block":
        return _read_block(at, catalogue)
    reader = FlowReader(catalogue, frozenset())
    return Reading(_procedure(at, reader), tuple(reader.faults))


def _procedure(at: Place, reader: FlowReader) -> Procedure:
    node = at.node
    text = fields.text_of
    written = _signed(at / "written")
    assert written is not None
    return Procedure(
        id=text(node, "id"),
        at=at / "id",
        title=text(node, "title"),
        task=text(node, "task"),
        method=text(node, "method"),
        learning=text(node, "learning"),
        version=fields.number(text(node, "version")),
        stage=text(node, "stage"),
        written=written,
        reviewed=_signed(at / "reviewed"),
        sources=fields.words_of(at / "sources"),
        vehicles=tuple(_vehicles(place) for place in (at / "vehicles").items()),
        keys={letter: _group(letter, place) for letter, place in (at / "keys").fields()},
        slots=words_by_name(at / "slots"),
        start=words_by_name(at / "start"),
        steps=reader.steps(at),
        ends={name: _ending(name, place) for name, place in (at / "endings").fields()},
        windows=reader.windows(at),
        cautions=reader.cautions(at),
        top=at,
    )


def _read_block(at: Place, catalogue: Catalogue) -> Reading:
    node = at.node
    given = {name: _parameter(place) for name, place in (at / "given").fields()}
    reader = FlowReader(catalogue, frozenset(name for name in given if name.islower()))
    block = Block(
        id=fields.text_of(node, "block"),
        at=at / "block",
        title=fields.text_of(node, "title"),
        version=fields.number(fields.text_of(node, "version")),
        given=given,
        before=words_by_name(at / "before"),
        steps=reader.steps(at),
        ends={word.text: End(word.text, word.at, "", "", 0, "") for word in fields.words_of(at / "exits")},
        windows=reader.windows(at),
        cautions=reader.cautions(at),
    )
    return Reading(block, tuple(reader.faults))


def _parameter(at: Place) -> str:
    return fields.text(at.node) or fields.text_of(at.node, "is") or "duration"


def _signed(at: Place) -> Signed | None:
    if at.node is None:
        return None
    by, date, of = (fields.text_of(at.node, name) for name in ("by", "date", "of"))
    return Signed(by, date, at, of)


def _vehicles(at: Place) -> Vehicles:
    node = at.node
    return Vehicles(
        at=at,
        make=fields.text_of(node, "make"),
        model=fields.text_of(node, "model"),
        years=fields.span(fields.text_of(node, "years")),
        build=fields.text_of(node, "build"),
        markets=fields.texts_of(fields.field(node, "markets")),
        ignition_kind=fields.text_of(node, "ignition-kind"),
        gearbox=fields.texts_of(fields.field(node, "gearbox")),
        high_voltage=fields.texts_of(fields.field(node, "high-voltage")),
        variants=fields.texts_by_name(fields.field(node, "variants")),
    )


def _group(letter: str, at: Place) -> KeyGroup:
    node = at.node
    return KeyGroup(
        letter=letter,
        at=at,
        kind=fields.text_of(node, "kind"),
        registered=fields.text_of(node, "registered") == "true",
        here=fields.span(fields.text_of(node, "here")),
        away=fields.span(fields.text_of(node, "away")),
        head=fields.text_of(node, "head"),
        details=_details(at),
    )


def _details(at: Place) -> Mapping[str, Word]:
    node = at.node
    told = [name for name in node.pairs if name in _DETAILS] if isinstance(node, Tree) else []
    return {name: Word(fields.text_of(node, name), at / name) for name in told}


def _ending(name: str, at: Place) -> End:
    block, _, version = fields.text_of(at.node, "through").partition(" ")
    return End(name, at, fields.text_of(at.node, "kind"), block, fields.number(version), fields.text_of(at.node, "tell"))
