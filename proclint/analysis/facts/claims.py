"""What sources say of vehicles: each cell of a facts table is a claim, and so is what a procedure states.

A claim is a statement (a value lies in a domain) about the vehicles of an application, which is a row of a table or a
procedure. Equal statements are one, however many claim them. `unknown` is no statement.
"""

from dataclasses import dataclass
from typing import NamedTuple, TypeAlias, final

from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.space import Space
from proclint.catalogue.domains import Domain, Unfit, is_compared, one_of, read_domain
from proclint.catalogue.entries import Attribute
from proclint.catalogue.relations import Relations
from proclint.source import Place, Table

UNKNOWN = "unknown"


class Statement(NamedTuple):
    """That the value of an attribute lies in a domain."""

    attribute: str
    domain: Domain


@dataclass(frozen=True, slots=True, eq=False)
class Application:
    """The vehicles that a source speaks of at one place: a row of its table, or a place in a file (then no row)."""

    source: str
    box: Box
    origin: Table | Place
    row: int = 0

    def at(self, column: int) -> Place:
        """Give the place of a cell."""
        return self.origin if isinstance(self.origin, Place) else self.origin.place(self.row, column)


class Claim(NamedTuple):
    """A statement, who makes it of which vehicles, and how it is written there."""

    statement: Statement
    application: Application
    column: int
    text: str

    @property
    def source(self) -> str:
        """The id of the source that makes it."""
        return self.application.source

    @property
    def box(self) -> Box:
        """The vehicles it is made of."""
        return self.application.box

    @property
    def at(self) -> Place:
        """Where it stands."""
        return self.application.at(self.column)


Read: TypeAlias = Statement | Unfit | None


@final
class ClaimReader:
    """Reads claims about attributes and quantities; what it has read once it does not read again."""

    __slots__ = ("read", "relations", "space")

    def __init__(self, relations: Relations, space: Space) -> None:
        """Take what is known of values, and the space whose boxes the claims are made of."""
        self.relations = relations
        self.read: dict[str, dict[str, Read]] = {name: {} for name in relations.attributes}
        self.space = space

    def statement(self, attribute: str, text: str) -> Read:
        """Read what is said of an attribute: a statement, or why it is none; nothing for `unknown` and for free text."""
        read = self.read[attribute]
        if text not in read:
            read[text] = self._statement(self.relations.attributes[attribute], text)
        return read[text]

    def _statement(self, attribute: Attribute, text: str) -> Read:
        if text == UNKNOWN:
            return None
        if attribute.narrows:
            mask = self.space.mask(attribute.name, text)
            words = (word.strip() for word in text.split("|"))
            return mask if isinstance(mask, Unfit) else Statement(attribute.name, one_of(*words))
        if not is_compared(attribute):
            return None
        domain = read_domain(text, attribute, nearness=self.relations.nearness.get(attribute.name, 0))
        return domain if isinstance(domain, Unfit) else Statement(attribute.name, domain)
