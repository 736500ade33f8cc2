"""The register of sources as frozen values."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from proclint.model import fields
from proclint.model.flow import Word
from proclint.model.schema import as_written
from proclint.source import Document, Place

_NARROWING = ("make", "model", "years", "build", "markets", "ignition-kind", "gearbox", "high-voltage")


class Registered(NamedTuple):
    """A source as the register has it.

    `covers` says of which vehicles it speaks, each as a row of a facts table would; none where it does not say.
    """

    id: str
    at: Place
    kind: str
    title: str
    date: str
    covers: tuple[Mapping[str, str], ...] = ()
    copied_from: tuple[Word, ...] = ()
    observers: tuple[str, ...] = ()
    superseded_by: str = ""


def read_sources(document: Document) -> tuple[Registered, ...]:
    """Read the entries of a register; what an entry does not say stays empty."""
    return tuple(_entry(at) for at in (document.at / "sources").items())


def kinds_of_source() -> tuple[str, ...]:
    """Give the kinds of source that a register can name, the most trusted first where a library does not say otherwise."""
    definitions: Any = as_written("sources")["$defs"]
    return tuple(definitions["kind"]["enum"])


def _entry(at: Place) -> Registered:
    said = {name: fields.text_of(at.node, name) for name in ("id", "kind", "title", "date", "superseded-by")}
    return Registered(
        id=said["id"],
        at=at / "id",
        kind=said["kind"],
        title=said["title"],
        date=said["date"],
        covers=tuple(_covered(place) for place in ((at / "covers").items() if fields.has(at, "covers") else ())),
        copied_from=fields.words_in(at, "copied-from"),
        observers=tuple(word.text for word in fields.words_in(at, "observers")),
        superseded_by=said["superseded-by"],
    )


def _covered(at: Place) -> Mapping[str, str]:
    return {name: "|".join(fields.texts_of(fields.field(at.node, name))) for name in _NARROWING if fields.has(at, name)}
