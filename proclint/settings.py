"""A library's own settings as a frozen type."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from proclint.model import fields
from proclint.results import Level
from proclint.source import Document


class UsageProblem(Exception):
    """Raised for a wrong call or setting: what is wrong, and what to do about it."""

    def __init__(self, what: str, change: str) -> None:
        super().__init__(what)
        self.what = what
        self.change = change


class Settings(NamedTuple):
    """What `library.yaml` says: the level of single rules (None = off) and the level at which a check fails.

    `trust` are kinds of source, the most trusted first; none where it does not say.
    """

    name: str = ""
    levels: Mapping[str, Level | None] = MappingProxyType({})
    failing_level: Level = Level.ERROR
    trust: tuple[str, ...] = ()


def read_settings(document: Document, known_rules: frozenset[str] | None) -> Settings:
    """Read a `library.yaml` whose shape holds. Raises UsageProblem for a rule that is not among those known, if they are."""
    at = document.at
    levels: dict[str, Level | None] = {}
    for rule, place in (at / "levels").fields():
        if known_rules is not None and rule not in known_rules:
            raise UsageProblem(f"{place.file}: levels: there is no rule '{rule}'.", "Run `proclint rules` for their names.")
        written = fields.text(place.node)
        levels[rule] = None if written == "off" else Level(written)
    failing = fields.text_of(at.node, "failing-level")
    trust = tuple(word.text for word in fields.words_in(at, "trust"))
    return Settings(fields.text_of(at.node, "name"), levels, Level(failing) if failing else Level.ERROR, trust)
