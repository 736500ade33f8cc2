"""Which boxes overlap, found by an index, and which of them have a vehicle in common."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from operator import itemgetter
from typing import final

from proclint.analysis.facts.boxes import Box, TooManyPieces, lowest, overlaps
from proclint.analysis.facts.space import Space


@final
class Index:
    """Boxes by make and model, and within one model in the order of their first year."""

    __slots__ = ("_boxes", "_first", "_key", "_of_one_model", "_years", "wide")

    def __init__(self, boxes: Sequence[Box], space: Space) -> None:
        """Take boxes; they are named by their index."""
        self._boxes = boxes
        self._key = itemgetter(space.axis("make"), space.axis("model"))
        self._years = space.axis("years")
        groups: dict[tuple[int, int], list[int]] = {}
        for number, box in enumerate(boxes):
            groups.setdefault(self._key(box), []).append(number)
        self._of_one_model = {key: self._in_order(group) for key, group in groups.items() if is_one_model(key)}
        self.wide = self._in_order([number for key, group in groups.items() if not is_one_model(key) for number in group])
        self._first = {key: [lowest(boxes[number][self._years]) for number in group] for key, group in self._of_one_model.items()}

    def _in_order(self, numbers: list[int]) -> list[int]:
        return sorted(numbers, key=lambda number: lowest(self._boxes[number][self._years]))

    def meeting(self, box: Box) -> list[int]:
        """Give the boxes that overlap one, in their order."""
        key, last = self._key(box), box[self._years].bit_length() - 1
        near = [key] if is_one_model(key) else [each for each in self._of_one_model if key[0] & each[0] and key[1] & each[1]]
        found = [number for number in self.wide if overlaps(self._boxes[number], box)]
        for each in near:
            group = self._of_one_model.get(each, [])
            count = bisect_right(self._first.get(each, []), last)
            found += [number for number in group[:count] if overlaps(self._boxes[number], box)]
        return sorted(found)

    def pairs(self) -> Iterator[tuple[int, int]]:
        """Give each two boxes that overlap, the earlier one first."""
        for group in self._of_one_model.values():
            yield from self._sweep(group)
        wide = set(self.wide)
        for number in self.wide:
            for other in self.meeting(self._boxes[number]):
                if other > number or (other < number and other not in wide):
                    yield min(number, other), max(number, other)

    def _sweep(self, group: Iterable[int]) -> Iterator[tuple[int, int]]:
        """Go through the years once; `open_` are the boxes that have not ended yet."""
        open_: list[tuple[int, int]] = []
        for number in group:
            box = self._boxes[number]
            first = lowest(box[self._years])
            open_ = [entry for entry in open_ if entry[0] > first]
            for _, other in open_:
                if overlaps(box, self._boxes[other]):
                    yield min(number, other), max(number, other)
            open_.append((box[self._years].bit_length(), number))


def is_one_model(key: tuple[int, int]) -> bool:
    """Whether sets of makes and models have one each."""
    return all(mask > 0 and not mask & (mask - 1) for mask in key)


def meetings(boxes: Sequence[Box], *, most: int) -> tuple[int, ...]:
    """Give the largest sets of boxes that have a vehicle in common, each as the bits of its boxes' indices.

    A dimension at a time: its values fall into parts that no box divides, each with the boxes it is in, and of these
    sets only those count that are in no other. Raises TooManyPieces.
    """
    sets = [(1 << len(boxes)) - 1] if boxes else []
    for axis in range(len(boxes[0]) if boxes else 0):
        inside = _largest_inside(boxes, axis)
        if len(inside) > 1:
            sets = largest({one & other for one in sets for other in inside} - {0})
        if len(sets) > most:
            raise TooManyPieces
    return tuple(sets)


def _largest_inside(boxes: Sequence[Box], axis: int) -> list[int]:
    by_mask: dict[int, int] = {}
    for number, box in enumerate(boxes):
        by_mask[box[axis]] = by_mask.get(box[axis], 0) | 1 << number
    if len(by_mask) == 1:
        return list(by_mask.values())
    parts = [(-1, 0)]
    for mask, members in by_mask.items():
        halves = [((part & mask, inside | members), (part & ~mask, inside)) for part, inside in parts]
        parts = [half for pair in halves for half in pair if half[0]]
    return largest({inside for _, inside in parts} - {0})


def largest(sets: Iterable[int]) -> list[int]:
    """Give the sets that are in no other."""
    kept: list[int] = []
    for each in sorted(sets, key=lambda each: (-each.bit_count(), each)):
        if not any(each & ~other == 0 for other in kept):
            kept.append(each)
    return kept
