"""Applicability as boxes: which vehicles a row of a facts table or a procedure speaks of.

A box has one set of values a dimension (make, model, years, build, markets ...); a vehicle is in it where each of its
values is in the set. What is not said means all. A set is the bits of a whole number, and since names have no last one,
the set of all names is -1, which has every bit: the same operations hold for it, and for all names but some.
"""

from collections.abc import Iterable, Iterator, Sequence
from operator import and_, eq
from typing import TypeAlias

Box: TypeAlias = tuple[int, ...]

# Rows of one model cut each other into dozens of pieces; what needs more is no table that a person keeps.
MOST_PIECES = 10_000


def run(first: int, last: int) -> int:
    """Give the set of the bits from the first to the last."""
    return ((1 << (last - first + 1)) - 1) << first


def lowest(mask: int) -> int:
    """Give the lowest bit of a set that is not empty."""
    return (mask & -mask).bit_length() - 1


def meet(one: Box, other: Box) -> Box | None:
    """Give the vehicles in both boxes; nothing where there are none."""
    both = tuple(map(and_, one, other))
    return both if all(both) else None


def overlaps(one: Box, other: Box) -> bool:
    """Whether a vehicle is in both boxes."""
    return all(map(and_, one, other))


def contains(outer: Box, inner: Box) -> bool:
    """Whether each vehicle of one box is in the other."""
    return all(map(eq, map(and_, inner, outer), inner))


def minus(box: Box, taken: Box) -> Iterator[Box]:
    """Give the vehicles of one box that are not in another, as boxes that lie apart; at most one a dimension."""
    if not overlaps(box, taken):
        yield box
        return
    rest = list(box)
    for axis, mask in enumerate(taken):
        outside = rest[axis] & ~mask
        if outside:
            yield (*rest[:axis], outside, *rest[axis + 1 :])
        rest[axis] &= mask


class TooManyPieces(Exception):
    """Raised where boxes would have to be cut into more pieces than the limit."""


def uncovered(box: Box, by: Iterable[Box], *, most: int = MOST_PIECES) -> tuple[Box, ...]:
    """Give the vehicles of a box that are in none of some others, as few boxes; none where their union covers it.

    Raises TooManyPieces.
    """
    left = [box]
    for other in by:
        left = [piece for part in left for piece in minus(part, other)]
        if len(left) > most:
            raise TooManyPieces
    return joined(left)


def joined(boxes: Iterable[Box]) -> tuple[Box, ...]:
    """Give the same vehicles as fewer boxes: what lies in another goes, what differs in one dimension becomes one."""
    left = sorted(set(boxes))
    if len(left) < 2:
        return tuple(left)
    count = len(left) + 1
    while len(left) < count:
        count = len(left)
        for axis in range(len(left[0])):
            left = _joined_along(left, axis)
        left = [box for box in left if not any(other != box and contains(other, box) for other in left)]
    return tuple(sorted(left))


def _joined_along(boxes: list[Box], axis: int) -> list[Box]:
    by_rest: dict[tuple[Box, Box], int] = {}
    for box in boxes:
        rest = (box[:axis], box[axis + 1 :])
        by_rest[rest] = by_rest.get(rest, 0) | box[axis]
    return [(*before, mask, *after) for (before, after), mask in by_rest.items()]


def gaps(boxes: Sequence[Box], axis: int, *, most: int = MOST_PIECES) -> tuple[Box, ...]:
    """Give what lies, along a dimension in order such as years, between vehicles that are covered and is not itself.

    Raises TooManyPieces.
    """
    cells: list[tuple[Box, list[Box]]] = [((), list(boxes))]
    for index in range(len(boxes[0]) if boxes else 0):
        cells = [cut for cell, inside in cells for cut in _cut(cell, inside, index, axis)]
        if len(cells) > most:
            raise TooManyPieces
    return joined((*cell[:axis], holes, *cell[axis + 1 :]) for cell, inside in cells if (holes := _holes(inside, axis)))


def _cut(cell: Box, boxes: list[Box], index: int, axis: int) -> Iterator[tuple[Box, list[Box]]]:
    if index == axis:
        yield (*cell, 0), boxes
        return
    for mask in parted({box[index] for box in boxes}):
        yield (*cell, mask), [box for box in boxes if box[index] & mask]


def _holes(boxes: list[Box], axis: int) -> int:
    seen = 0
    for box in boxes:
        seen |= box[axis]
    return run(lowest(seen), seen.bit_length() - 1) & ~seen if seen else 0


def parted(masks: Iterable[int]) -> list[int]:
    """Cut the union of sets into the parts that no set divides."""
    parts: list[int] = []
    for mask in masks:
        new = mask
        for part in parts:
            new &= ~part
        parts = [half for part in parts for half in (part & mask, part & ~mask) if half]
        parts += [new] if new else []
    return parts


def pack(boxes: Sequence[Box]) -> list[int]:
    """Give each of some boxes as one number: one box lies in another where the number has no bit that the other's lacks.

    Sets without a last name are cut after the last name that any of the boxes tells apart.
    """
    packed = [0] * len(boxes)
    for axis in range(len(boxes[0]) if boxes else 0):
        masks = [box[axis] for box in boxes]
        if len(set(masks)) > 1:
            width = max(max(mask, ~mask).bit_length() for mask in masks) + 1
            packed = [whole << width | mask & ((1 << width) - 1) for whole, mask in zip(packed, masks, strict=True)]
    return packed
