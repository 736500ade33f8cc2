"""What must hold at actions and at endings besides the needs of actions, read when it is first asked for."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.catalogue.conditions import Form, Item
from proclint.catalogue.deeds import Refuse
from proclint.catalogue.entries import DemandRow
from proclint.catalogue.grammar import Reader
from proclint.catalogue.scope import Misread, Names, hint, scope_of


class Demand(NamedTuple):
    """What must hold under `rule`: before the actions of `verbs`, or at endings of `kinds`; one of the two is empty.

    `subject` is what the result is about, where one rule has several.
    """

    rule: str
    subject: str
    verbs: tuple[str, ...]
    kinds: tuple[str, ...]
    must: tuple[Item, ...]


def _raise(field: str, message: str) -> None:
    raise Misread(f"{field}: {message}")


def read_demand(row: DemandRow, names: Names, refuse: Refuse = _raise) -> Demand:
    """Read one row; what cannot be read is refused and left out."""
    for field, verbs in (("at", row.at), ("but", row.but)):
        for verb in verbs:
            if verb not in names.actions:
                refuse(field, f"There is no action '{verb}'.{hint(verb, names.actions)}")
    verbs = tuple(verb for verb in names.actions if row.is_at(verb))
    return Demand(row.rule, row.subject, verbs, row.kinds, tuple(_items(row, names, refuse)))


def _items(row: DemandRow, names: Names, refuse: Refuse) -> Iterator[Item]:
    # What holds at any action speaks of no parameter: there is none that all of them have.
    reader = Reader(scope_of(names, row.at))
    for text in row.must:
        try:
            item = reader.item(text)
            _must_be_asked(item, row, names)
        except Misread as wrong:
            refuse("must", str(wrong))
        else:
            yield item


def _must_be_asked(item: Item, row: DemandRow, names: Names) -> None:
    """Raise Misread where an item would be skipped because what it names is not told there."""
    for verb in filter(names.actions.__contains__, row.at):
        for name in sorted(item.parameters - set(names.actions[verb].parameters)):
            raise Misread(f"'{item}' would never be asked at '{verb}', which has no parameter '{name}'.")
    operands = [operand for atom in (*item.atoms, *item.condition) for operand in atom.operands]
    for operand in operands if row.kinds else ():
        if operand.form is Form.LINE:
            raise Misread(f"'{item}' speaks of the line's {operand.name}, and an ending is no line.")
