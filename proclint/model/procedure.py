"""Procedures and shared blocks as typed, frozen values."""

from collections.abc import Mapping
from typing import NamedTuple, TypeAlias

from proclint.model.flow import Caution, Step, Window, Word
from proclint.source import Place


class Signed(NamedTuple):
    """Who did something, as a member number, and on which day (ISO 8601).

    `of` is the digest of the text that a review saw, empty where none is written.
    """

    by: str
    date: str
    at: Place
    of: str = ""


class Vehicles(NamedTuple):
    """A range of vehicles; an empty tuple means all values. `variants` maps a letter to its tell."""

    at: Place
    make: str
    model: str
    years: tuple[int, int]
    build: str
    markets: tuple[str, ...]
    ignition_kind: str
    gearbox: tuple[str, ...]
    high_voltage: tuple[str, ...]
    variants: Mapping[str, str]


class KeyGroup(NamedTuple):
    """A group of keys: how many are here and away, least and most."""

    letter: str
    at: Place
    kind: str
    registered: bool
    here: tuple[int, int]
    away: tuple[int, int]
    head: str
    details: Mapping[str, Word]


class End(NamedTuple):
    """Where a way stops: an ending of a procedure (with its kind) or an exit of a block (without)."""

    name: str
    at: Place
    kind: str
    through: str
    through_version: int
    tell: str


class Procedure(NamedTuple):
    """One file: how to do one task on stated vehicles."""

    id: str
    at: Place
    title: str
    task: str
    method: str
    learning: str
    version: int
    stage: str
    written: Signed
    reviewed: Signed | None
    sources: tuple[Word, ...]
    vehicles: tuple[Vehicles, ...]
    keys: Mapping[str, KeyGroup]
    slots: Mapping[str, Word]
    start: Mapping[str, Word]
    steps: Mapping[str, Step]
    ends: Mapping[str, End]
    windows: Mapping[str, Window]
    cautions: Mapping[str, Caution]
    top: Place

    @property
    def first(self) -> Step:
        """The step at which every way begins."""
        return next(iter(self.steps.values()))

    def at_of(self, field: str) -> Place:
        """Give the place of a field of the file's top, or of the top where it is missing."""
        return self.top / field


class Block(NamedTuple):
    """A shared block; its exits are `ends`, the first of them the wished one. `given` maps a parameter to its kind."""

    id: str
    at: Place
    title: str
    version: int
    given: Mapping[str, str]
    before: Mapping[str, Word]
    steps: Mapping[str, Step]
    ends: Mapping[str, End]
    windows: Mapping[str, Window]
    cautions: Mapping[str, Caution]

    @property
    def first(self) -> Step:
        """The step at which every way begins."""
        return next(iter(self.steps.values()))


Flow: TypeAlias = Procedure | Block
