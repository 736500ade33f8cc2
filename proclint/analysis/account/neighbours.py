"""What else in a library speaks of the same vehicles or stands on the same blocks."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from proclint.analysis.facts.boxes import Box, TooManyPieces, joined, meet, uncovered
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.weigh import Fact, Grade
from proclint.analysis.library import extract_of, reached_by
from proclint.catalogue import Attribute, Catalogue
from proclint.model import Flow, Procedure


class Neighbour(NamedTuple):
    """A procedure with vehicles in common: which these are, and the caps that it has and this one has otherwise."""

    procedure: Procedure
    vehicles: tuple[str, ...]
    other_caps: tuple[tuple[str, str, str], ...]


class Sharing(NamedTuple):
    """A block, and the other procedures that follow it."""

    block: str
    procedures: tuple[str, ...]


class Told(NamedTuple):
    """An attribute of which sources contradict each other for these vehicles: what is believed first, each with its source."""

    attribute: Attribute
    texts: tuple[str, ...]


class Neighbours(NamedTuple):
    """The procedures with vehicles in common, the blocks with those that share them, and what sources leave open.

    `contested` is where they contradict each other, `unknown` names what a source says that nobody knows, `untold` the vehicles
    of which no table says anything.
    """

    procedures: tuple[Neighbour, ...] = ()
    sharing: tuple[Sharing, ...] = ()
    contested: tuple[Told, ...] = ()
    unknown: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()


def neighbours_of(flow: Flow, library: Iterable[Flow], evidence: Evidence, catalogue: Catalogue) -> Neighbours:
    """Give the neighbours of a procedure or block, and what the sources of the library leave open of its vehicles."""
    flows = tuple(library)
    sharing = tuple(_sharing(flow, flows))
    if not isinstance(flow, Procedure):
        return Neighbours(sharing=sharing)
    space = evidence.space
    boxes = [box for each in flow.vehicles if isinstance(box := space.box_of(each, flow.method), tuple)]
    facts = evidence.facts_of(boxes)
    return Neighbours(
        tuple(_neighbours(flow, flows, catalogue)),
        sharing,
        tuple(_told(fact, catalogue) for fact in facts if fact.standing is Grade.CONTESTED),
        tuple(dict.fromkeys(fact.attribute for fact in facts if fact.standing is Grade.UNKNOWN)),
        tuple(_untold(boxes, evidence)),
    )


def _told(fact: Fact, catalogue: Catalogue) -> Told:
    said = dict.fromkeys(f"{claim.text} ({claim.source})" for claim in (*fact.behind, *fact.against))
    return Told(catalogue.attributes[fact.attribute], tuple(said))


def _untold(boxes: Iterable[Box], evidence: Evidence) -> Iterator[str]:
    """Say which vehicles no table speaks of."""
    given = tuple(boxes)
    spoken = tuple(dict.fromkeys(claim.box for claim in evidence.claims_near(given)))
    for box in given:
        try:
            yield from (_in_words(each, evidence.space) for each in uncovered(box, spoken))
        except TooManyPieces:
            yield f"some of {_in_words(box, evidence.space)}"


def overlapping(flow: Flow, library: Iterable[Flow], catalogue: Catalogue) -> Iterator[Procedure]:
    """Give the other procedures of a library that are for vehicles of one procedure; a block has none."""
    if isinstance(flow, Procedure):
        yield from (other for other, _ in _meeting(flow, library, Space(catalogue.attributes)))


def _neighbours(procedure: Procedure, flows: Iterable[Flow], catalogue: Catalogue) -> Iterator[Neighbour]:
    space = Space(catalogue.attributes)
    for other, shared in _meeting(procedure, flows, space):
        vehicles = tuple(_in_words(box, space) for box in joined(shared))
        yield Neighbour(other, vehicles, tuple(_other_caps(procedure, other)))


def _meeting(procedure: Procedure, flows: Iterable[Flow], space: Space) -> Iterator[tuple[Procedure, list[Box]]]:
    own = _boxes(procedure, space)
    for other in flows:
        if isinstance(other, Procedure) and other.id != procedure.id:
            shared = [both for one in own for theirs in _boxes(other, space) if (both := meet(one, theirs)) is not None]
            if shared:
                yield other, shared


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
