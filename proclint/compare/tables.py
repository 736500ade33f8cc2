"""Two versions of a facts table: what is said of which vehicles, in whatever order rows and columns stand.

Rows are matched by the vehicles they speak of, as written; what is left over by likeness of all their cells.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.analysis.facts.space import Space
from proclint.catalogue import Attribute, Catalogue
from proclint.catalogue.domains import Domain, Unfit, is_compared, read_domain
from proclint.compare.difference import Difference, Weight, What, in_order
from proclint.compare.matching import matched
from proclint.compare.vehicles import of_boxes
from proclint.source import Place, Table

_DANGER = "A"


class _Row(NamedTuple):
    """A row of a table: what its cells say by column, and the place of each."""

    name: str
    cells: Mapping[str, str]
    places: Mapping[str, Place]
    at: Place
    narrowing: Mapping[str, str]

    @property
    def vehicles(self) -> str:
        """The vehicles it speaks of, as written."""
        return " ".join(filter(None, self.narrowing.values())) or "all vehicles"


def compare_tables(old: Table, new: Table, catalogue: Catalogue) -> tuple[Difference, ...]:
    """Compare two versions of one source's table, the most dangerous difference first."""
    rows = _rows(old, catalogue.attributes), _rows(new, catalogue.attributes)
    match = matched(*({name: _said(row) for name, row in each.items()} for each in rows))
    return in_order(_differences(rows, match.pairs, catalogue))


def _rows(table: Table, attributes: Mapping[str, Attribute]) -> dict[str, _Row]:
    found: dict[str, _Row] = {}
    seen: Counter[str] = Counter()
    for number, cells in enumerate(table.rows):
        names = [cell.text for cell in table.header]
        texts = {name: _in_order(cell.text, attributes.get(name)) for name, cell in zip(names, cells, strict=True)}
        places = {name: table.place(number, column) for column, name in enumerate(names)}
        narrowing = {name: texts.get(name, "") for name, each in attributes.items() if each.narrows}
        key = "\n".join(narrowing.values())
        # Several rows may speak of the same vehicles; each says other things of them.
        seen[key] += 1
        key = f"{key}\n{seen[key]}"
        filled = {name: text for name, text in texts.items() if text}
        found[key] = _Row(key, filled, places, table.place(number, 0), narrowing)
    return found


def _in_order(text: str, attribute: Attribute | None) -> str:
    """Give a cell's text with its values in one order where their order means nothing."""
    if attribute is None or attribute.type == "text":
        return text
    return "|".join(sorted(part.strip() for part in text.split("|")))


def _said(row: _Row) -> Counter[str]:
    return Counter(f"{name}: {text}" for name, text in row.cells.items())


def _differences(
    rows: tuple[dict[str, _Row], dict[str, _Row]], pairs: tuple[tuple[str, str], ...], catalogue: Catalogue
) -> Iterator[Difference]:
    left = [row for name, row in rows[0].items() if name not in {old for old, _ in pairs}]
    right = [row for name, row in rows[1].items() if name not in {new for _, new in pairs}]
    for row in left:
        yield Difference(What.CLAIM, Weight.LOST, row.at, None, f"The row for {row.vehicles} is gone: {_content(row)}.")
    for row in right:
        yield Difference(What.CLAIM, Weight.GAINED, None, row.at, f"The row for {row.vehicles} is new: {_content(row)}.")
    for old, new in pairs:
        yield from _pair(rows[0][old], rows[1][new], catalogue)


def _content(row: _Row) -> str:
    return ", ".join(f"{name} {text}" for name, text in row.cells.items() if name not in row.narrowing) or "it says nothing"


def _pair(old: _Row, new: _Row, catalogue: Catalogue) -> Iterator[Difference]:
    if old.narrowing != new.narrowing:
        yield from _vehicles(old, new, catalogue)
    for name in dict.fromkeys((*old.cells, *new.cells)):
        attribute = catalogue.attributes.get(name)
        if name not in old.narrowing and _meant(old.cells.get(name), attribute) != _meant(new.cells.get(name), attribute):
            yield _cell(name, old, new, attribute)


def _meant(text: str | None, attribute: Attribute | None) -> Domain | str | None:
    """Give what a cell says; a cell without a meaning says its text."""
    if text is None or attribute is None or not is_compared(attribute):
        return text
    domain = read_domain(text, attribute)
    return text if isinstance(domain, Unfit) else domain


def _vehicles(old: _Row, new: _Row, catalogue: Catalogue) -> Iterator[Difference]:
    space = Space(catalogue.attributes)
    boxes = space.box(old.narrowing), space.box(new.narrowing)
    if isinstance(boxes[0], tuple) and isinstance(boxes[1], tuple):
        for each in of_boxes([boxes[0]], [boxes[1]], space=space, at=(old.at, new.at)):
            yield each._replace(said=f"The row for {old.vehicles}: {each.said[0].lower()}{each.said[1:]}")
    else:
        text = f"The row for {old.vehicles} now speaks of {new.vehicles}."
        yield Difference(What.VEHICLES, Weight.OTHER, old.at, new.at, text)


def _cell(name: str, old: _Row, new: _Row, attribute: Attribute | None) -> Difference:
    before, now = old.cells.get(name), new.cells.get(name)
    at = (old.places[name] if before is not None else None, new.places[name] if now is not None else None)
    if before is not None and now is not None:
        text = f"{name} of {new.vehicles}: {now}, before {before}."
        return Difference(What.CLAIM, _weight(attribute), *at, text)
    text = f"{name} of {new.vehicles} is no longer stated; before, it was {before}."
    if before is None:
        text = f"{name} of {new.vehicles} is now stated: {now}."
    weight = Weight.LOST if now is None else Weight.GAINED
    is_danger = attribute is not None and attribute.danger == _DANGER
    return Difference(What.CLAIM, weight if is_danger else _weight(attribute), *at, text)


def _weight(attribute: Attribute | None) -> Weight:
    return Weight.WORDS if attribute is None or attribute.type == "text" or attribute.danger == "C" else Weight.OTHER
