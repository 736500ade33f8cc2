"""What facts tables say of the vehicles of a procedure, as they say it.

A row speaks of them if its vehicles overlap with theirs. Nothing is weighed here: where rows differ, all that they say is given.
"""

from collections.abc import Callable, Iterable, Mapping

from proclint.analysis.facts.boxes import Box, overlaps
from proclint.analysis.facts.space import Space
from proclint.catalogue import Attribute
from proclint.catalogue.domains import Unfit
from proclint.model import Flow, Procedure
from proclint.source import Table

# For each attribute all different texts of its cells.
Facts = tuple[tuple[str, tuple[str, ...]], ...]
_NOTHING = frozenset({"", "unknown"})


def facts_in(tables: Iterable[Table], attributes: Mapping[str, Attribute]) -> Callable[[Flow], Facts]:
    """Give a function that tells what some tables say of the vehicles of a procedure; of a block they say nothing."""
    space = Space(attributes)
    make = space.axis("make")
    rows: list[tuple[Box, dict[str, str]]] | None = None
    given = tuple(tables)

    def facts_of(flow: Flow) -> Facts:
        nonlocal rows
        if not isinstance(flow, Procedure):
            return ()
        if rows is None:
            rows = [row for table in given for row in _rows(table, space, attributes)]
        boxes = [box for each in flow.vehicles if not isinstance(box := space.box_of(each, flow.method), Unfit)]
        found: dict[str, dict[str, None]] = {}
        # Most rows speak of another make.
        near = {at for each in boxes for at, (box, _) in enumerate(rows) if box[make] & each[make] and overlaps(box, each)}
        for at in sorted(near):
            for name, text in rows[at][1].items():
                found.setdefault(name, {})[text] = None
        return tuple((name, tuple(texts)) for name, texts in sorted(found.items()))

    return facts_of


def _rows(table: Table, space: Space, attributes: Mapping[str, Attribute]) -> Iterable[tuple[Box, dict[str, str]]]:
    """Give the box of each row and what it says; a row whose vehicles cannot be read says nothing."""
    names = [cell.text for cell in table.header]
    for row in table.texts:
        said = {name: text for name, text in zip(names, row, strict=True) if text not in _NOTHING}
        box = space.box({name: said.get(name, "") for name in space.dimensions})
        if not isinstance(box, Unfit):
            yield box, {name: text for name, text in said.items() if name in attributes and not attributes[name].narrows}
