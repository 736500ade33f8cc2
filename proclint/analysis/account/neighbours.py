"""What else in a library speaks of the same vehicles or stands on the same blocks."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from proclint.analysis.facts.boxes import Box, joined, meet
from proclint.analysis.facts.space import Space
from proclint.analysis.library import extract_of, reached_by
from proclint.catalogue import Attribute, Catalogue
from proclint.model import Flow, Procedure


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A procedure with vehicles in common: which these are, and the caps that it has and this one has otherwise."""

    procedure: Procedure
    vehicles: tuple[str, ...]
    other_caps: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Sharing:
    """A block, and the other procedures that follow it."""

    block: str
    procedures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """An attribute of which the facts tables say several things for these vehicles."""

    attribute: Attribute
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The procedures with vehicles in common, the blocks with those that share them, and where tables differ."""

    procedures: tuple[Neighbour, ...] = ()
    sharing: tuple[Sharing, ...] = ()
    contested: tuple[Told, ...] = ()


def neighbours_of(
    flow: Flow, library: Iterable[Flow], catalogue: Catalogue, told: Iterable[tuple[str, tuple[str, ...]]]
) -> Neighbours:
    """Give the neighbours of a procedure or block; `told` is what tables say of its vehicles, attribute by attribute."""
    flows = tuple(library)
    contested = tuple(Told(catalogue.attributes[name], texts) for name, texts in told if len(texts) > 1)
    others = tuple(_overlapping(flow, flows, catalogue)) if isinstance(flow, Procedure) else ()
    return Neighbours(others, tuple(_sharing(flow, flows)), contested)


def _overlapping(procedure: Procedure, flows: Iterable[Flow], catalogue: Catalogue) -> Iterator[Neighbour]:
    space = Space(catalogue.attributes)
    own = _boxes(procedure, space)
    for other in flows:
        if isinstance(other, Procedure) and other.id != procedure.id:
            shared = [both for one in own for theirs in _boxes(other, space) if (both := meet(one, theirs)) is not None]
            if shared:
                vehicles = tuple(_in_words(box, space) for box in joined(shared))
                yield Neighbour(other, vehicles, tuple(_other_caps(procedure, other)))


def _boxes(procedure: Procedure, space: Space) -> Sequence[Box]:
    return [box for each in procedure.vehicles if isinstance(box := space.box_of(each), tuple)]


def _in_words(box: Box, space: Space) -> str:
    said = space.words(box)
    first = " ".join(said.pop(name) for name in ("make", "model", "years") if name in said)
    return "; ".join((first, *(f"{name} {text}" for name, text in said.items())))


def _other_caps(procedure: Procedure, other: Procedure) -> Iterator[tuple[str, str, str]]:
    for kind, cap in procedure.slots.items():
        theirs = other.slots.get(kind)
        if theirs is not None and theirs.text != cap.text:
            yield kind, cap.text, theirs.text


def _sharing(flow: Flow, flows: Iterable[Flow]) -> Iterator[Sharing]:
    """Give the blocks that a procedure follows with the others that do, or for a block those that follow it."""
    reach = reached_by([extract_of(each) for each in flows])
    if not isinstance(flow, Procedure):
        yield Sharing(flow.id, reach.get(flow.id, ()))
        return
    for block, ids in reach.items():
        if flow.id in ids:
            yield Sharing(block, tuple(each for each in ids if each != flow.id))
