"""Which vehicles two versions are for: which applications came in and which fell out.

An application is a make and model in one model year, for one market, and of one kind of whatever else is narrowed.
"""

from collections.abc import Iterable, Iterator, Sequence

from proclint.analysis.facts.boxes import Box, TooManyPieces, uncovered
from proclint.analysis.facts.space import Space
from proclint.catalogue import Catalogue
from proclint.compare.difference import Difference, Weight, What
from proclint.compare.tree import of_tree
from proclint.model import Procedure
from proclint.source import Place


def of_vehicles(old: Procedure, new: Procedure, catalogue: Catalogue, at: tuple[Place, Place]) -> Iterator[Difference]:
    """Tell for which vehicles a procedure is now that it was not for, and the other way round; `at` is where both list them."""
    space = Space(catalogue.attributes)
    # The method is told apart; with one method for both, what is compared are vehicles.
    boxes = _boxes(old, space), _boxes(new, space)
    if boxes[0] is None or boxes[1] is None:
        yield from of_tree(*at, "Vehicles", what=What.VEHICLES)
    else:
        yield from of_boxes(boxes[0], boxes[1], space=space, at=at)
        yield from _tells(old, new, at)


def vehicles_of(procedure: Procedure, catalogue: Catalogue) -> str:
    """Say for which vehicles a procedure is, and how many applications that is; nothing where one has no meaning."""
    space = Space(catalogue.attributes)
    boxes = _boxes(procedure, space)
    pieces = _pieces(boxes, ()) if boxes is not None else None
    if not pieces:
        return ""
    count = sum(applications(each, space) for each in pieces)
    return f"{'; '.join(in_words(each, space) for each in pieces)}, {count} application{'' if count == 1 else 's'}"


def _boxes(procedure: Procedure, space: Space) -> list[Box] | None:
    """Give the boxes of a procedure's vehicles; nothing where one has no meaning."""
    found = [space.box_of(each) for each in procedure.vehicles]
    boxes = [box for box in found if isinstance(box, tuple)]
    return boxes if len(boxes) == len(found) else None


def of_boxes(old: Sequence[Box], new: Sequence[Box], *, space: Space, at: tuple[Place, Place]) -> Iterator[Difference]:
    """Tell which vehicles of some boxes are in no box of the other version."""
    for weight, word, sign, ours, theirs in (
        (Weight.MORE, "Now also", "more", new, old),
        (Weight.LESS, "No longer", "fewer", old, new),
    ):
        pieces = _pieces(ours, theirs)
        if pieces is None:
            yield Difference(What.VEHICLES, weight, *at, f"{word} for vehicles that are too many pieces to name.")
        elif pieces:
            count = sum(applications(each, space) for each in pieces)
            named = "; ".join(in_words(each, space, beside=(*old, *new)) for each in pieces)
            what = f"{count} application{'' if count == 1 else 's'} {sign}"
            yield Difference(What.VEHICLES, weight, *at, f"{word} for {named}: {what}.")


def _pieces(ours: Sequence[Box], theirs: Sequence[Box]) -> tuple[Box, ...] | None:
    """Give the vehicles of ours that are in none of theirs, each once; nothing where they are too many pieces."""
    found: list[Box] = []
    try:
        for box in ours:
            found += uncovered(box, (*theirs, *found))
    except TooManyPieces:
        return None
    return tuple(found)


def applications(box: Box, space: Space) -> int:
    """Count the applications in a box; what it does not narrow, and months of building, count as one."""
    count = 1
    for name, mask, every in zip(space.dimensions, box, space.everything, strict=True):
        if mask != every and mask > 0 and name != "build":
            count *= mask.bit_count()
    return count


def in_words(box: Box, space: Space, *, beside: Iterable[Box] = ()) -> str:
    """Say which vehicles are in a box: make, model and years, then what else is narrowed and not the same in all boxes beside."""
    said = space.words(box)
    first = " ".join(said.pop(name) for name in ("make", "model", "years") if name in said) or "all vehicles"
    telling = [f"{name} {text}" for name, text in said.items() if not _is_same(space.axis(name), box, beside)]
    return f"{first} ({', '.join(telling)})" if telling else first


def _is_same(axis: int, box: Box, beside: Iterable[Box]) -> bool:
    masks = {each[axis] for each in beside}
    return masks == {box[axis]}


def _tells(old: Procedure, new: Procedure, at: tuple[Place, Place]) -> Iterator[Difference]:
    tells = [{letter: tell for each in flow.vehicles for letter, tell in each.variants.items()} for flow in (old, new)]
    for letter, tell in tells[0].items():
        now = tells[1].get(letter, tell)
        if now != tell:
            yield Difference(What.VEHICLES, Weight.OTHER, *at, f"Variant {letter} is told by '{now}', before by '{tell}'.")
