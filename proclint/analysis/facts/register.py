"""The register of sources, from `sources.yaml` as read."""

from collections.abc import Iterator, Mapping, Sequence

from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.sources import Register, Source
from proclint.analysis.facts.space import Space
from proclint.model import fields
from proclint.source import Document, Place

# Most trusted first, where a library does not say it otherwise. Common practice, no source.
TRUST = ("service-information", "handbook-or-bulletin", "bench-or-field-log", "supplier-note", "training-sheet", "hearsay")
# Who writes such a log has looked at a vehicle.
OBSERVED = "bench-or-field-log"


def read_register(document: Document | None, space: Space, trust: Sequence[str] = ()) -> Register:
    """Read a register whose shape holds, each source by its id; `trust` are kinds of source, the most trusted first."""
    order = {kind: rank for rank, kind in enumerate(trust or TRUST, 1)}
    if document is None:
        return {}
    sources = (_source(place, space, order) for place in fields.items_of(document.at / "sources"))
    return {source.id: source for source in sources}


def rank_of(kind: str, trust: Sequence[str] = ()) -> int:
    """Give the rank of a kind of source, 1 for the one that is trusted most; one that is not named comes last."""
    order = trust or TRUST
    return order.index(kind) + 1 if kind in order else len(order) + 1


def _source(at: Place, space: Space, order: Mapping[str, int]) -> Source:
    kind, date, title, superseded = (fields.text_of(at.node, name) for name in ("kind", "date", "title", "superseded-by"))
    observers = tuple(word.text for word in fields.words_in(at, "observers"))
    return Source(
        fields.text_of(at.node, "id"),
        order.get(kind, len(order) + 1),
        date,
        observed=kind == OBSERVED or bool(observers),
        copied_from=tuple(word.text for word in fields.words_in(at, "copied-from")),
        observers=observers,
        covers=tuple(_covered(at, space)),
        kind=kind,
        title=title,
        superseded_by=superseded,
        at=at,
    )


def _covered(at: Place, space: Space) -> Iterator[Box]:
    for place in fields.items_of(at / "covers") if fields.has(at, "covers") else ():
        said = {name: "|".join(fields.texts_of(value)) for name, value in fields.places_in(place)}
        box = space.box(said)
        # Vehicles that cannot be read are told by the rules on shape.
        if isinstance(box, tuple):
            yield box
