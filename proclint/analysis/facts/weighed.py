"""The weighed table: for each model and attribute, what is known of which vehicles, and how it stands.

The vehicles of a model are cut along each dimension where some row divides them. Vehicles of which the same is said are one
piece, and pieces of which the same is known are one fact.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import NamedTuple, TypeAlias

from proclint.analysis.facts.book import Book
from proclint.analysis.facts.boxes import Box, joined, meet, parted
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.overlaps import is_one_model
from proclint.analysis.facts.weigh import Verdict

# A model that many rows cut along many dimensions; a table that a person keeps has a hundred pieces.
MOST_PIECES = 50_000

_Model: TypeAlias = tuple[int, int]


class _Row(NamedTuple):
    """The vehicles of a model of which something is said, and what of which attribute; no claim where it is said not to be known."""

    box: Box
    said: tuple[tuple[str, Claim | None], ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """What is known of an attribute of some vehicles; of nobody knows, the verdict is unknown."""

    attribute: str
    boxes: tuple[Box, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Weighed:
    """All facts, model by model, and the models that rows cut into more pieces than the limit, of which nothing is weighed."""

    facts: tuple[Fact, ...]
    left_out: tuple[Box, ...]


def weighed(book: Book, *, within: Box | None = None, most: int = MOST_PIECES) -> Weighed:
    """Weigh all that a book says, or what it says of the vehicles of one box."""
    facts: list[Fact] = []
    left_out: list[Box] = []
    for model, rows in _by_model(book, within).items():
        masks = [parted({row.box[axis] for row in rows}) for axis in range(len(book.space.dimensions))]
        if prod(map(len, masks)) > most:
            left_out.append(_of_model(model, book))
        else:
            facts += _facts(rows, masks, book)
    return Weighed(tuple(facts), tuple(left_out))


def _by_model(book: Book, within: Box | None) -> dict[_Model, list[_Row]]:
    """Gather what is said by model; what is said of many models is said of each that anybody speaks of."""
    make, model = book.space.axis("make"), book.space.axis("model")
    rows = [row for row in _rows(book) if within is None or meet(row.box, within) is not None]
    models = dict.fromkeys(key for row in rows if is_one_model(key := (row.box[make], row.box[model])))
    found: dict[_Model, list[_Row]] = {key: [] for key in models}
    for row in rows:
        key = (row.box[make], row.box[model])
        for each in (key,) if key in found else tuple(found):
            both = meet(row.box, _of_model(each, book))
            both = both if both is None or within is None else meet(both, within)
            if both is not None:
                found[each].append(_Row(both, row.said))
    return {key: each for key, each in found.items() if each}


def _rows(book: Book) -> Iterator[_Row]:
    said: dict[Box, list[tuple[str, Claim | None]]] = {}
    for claim in book.claims:
        if not book.relations.attributes[claim.statement.attribute].narrows:
            said.setdefault(claim.box, []).append((claim.statement.attribute, claim))
    for table in book.tables.values():
        for each in table.not_known:
            if not book.relations.attributes[each.attribute].narrows:
                said.setdefault(each.application.box, []).append((each.attribute, None))
    return (_Row(box, tuple(each)) for box, each in said.items())


def _of_model(model: _Model, book: Book) -> Box:
    box = list(book.space.everything)
    box[book.space.axis("make")], box[book.space.axis("model")] = model
    return tuple(box)


def _facts(rows: Sequence[_Row], masks: Sequence[list[int]], book: Book) -> Iterator[Fact]:
    """Give the facts of one model."""
    of_attribute: dict[str, int] = {}
    for number, row in enumerate(rows):
        for name, _ in row.said:
            of_attribute[name] = of_attribute.get(name, 0) | 1 << number
    pieces: dict[str, dict[int, list[Box]]] = {name: {} for name in of_attribute}
    for box, inside in _pieces(rows, masks):
        for name, mask in of_attribute.items():
            if inside & mask:
                pieces[name].setdefault(inside & mask, []).append(box)
    for name, groups in pieces.items():
        yield from _merged(name, [(_verdict(name, mask, rows, book), boxes) for mask, boxes in groups.items()])


def _pieces(rows: Sequence[_Row], masks: Sequence[list[int]]) -> Iterator[tuple[Box, int]]:
    """Give each piece of a model, with the rows that speak of it as the bits of a number."""
    inside = [
        [sum(1 << number for number, row in enumerate(rows) if row.box[axis] & mask) for mask in parts]
        for axis, parts in enumerate(masks)
    ]
    for choice in product(*(range(len(parts)) for parts in masks)):
        together = -1
        for axis, at in enumerate(choice):
            together &= inside[axis][at]
        if together:
            yield tuple(masks[axis][at] for axis, at in enumerate(choice)), together


def _verdict(name: str, mask: int, rows: Sequence[_Row], book: Book) -> Verdict:
    near = (row for number, row in enumerate(rows) if mask >> number & 1)
    return book.weigh(name, [claim for row in near for attribute, claim in row.said if attribute == name and claim is not None])


def _merged(name: str, found: Iterable[tuple[Verdict, list[Box]]]) -> Iterator[Fact]:
    """Make one fact of pieces of which the same is known by the same claims' sources and texts."""
    same: dict[object, tuple[Verdict, list[Box]]] = {}
    for verdict, boxes in found:
        said = frozenset((claim.source, claim.text) for claim in verdict.claims)
        same.setdefault((verdict.grade, said), (verdict, []))[1].extend(boxes)
    for verdict, boxes in same.values():
        yield Fact(name, joined(boxes), verdict)
