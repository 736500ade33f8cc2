"""What a check gives: results in order, what was checked, what could not be, and faults of our own."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from proclint.model import Acceptance
from proclint.results import Harm, Kind, Level, Result, State
from proclint.rule import Rule
from proclint.source import SourceText

_DANGER = {harm: rank for rank, harm in enumerate(Harm)}
_WEIGHT = {level: rank for rank, level in enumerate(Level)}
# What could not be decided about these is taken as seriously as a fault.
_MUST_BE_DECIDED = frozenset({Harm.LIFE, Harm.INJURY, Harm.NO_KEY})


class Reported(NamedTuple):
    """A result with its rule and level, as settings have it.

    `also` are results with the same cause, folded under it; `reaches` the procedures that follow the block it stands in. Where
    the check compares with an earlier version, `state` says how the result stands to it, and it counts unless it was there.
    """

    rule: Rule
    level: Level
    result: Result
    fingerprint: str = ""
    owner: str = ""
    also: tuple[Result, ...] = ()
    reaches: tuple[str, ...] = ()
    acceptance: Acceptance | None = None
    state: State | None = None
    counts: bool = True

    @property
    def weighs(self) -> Level:
        """The level that counts for the exit status: what guards life or access must be decided."""
        if self.result.kind is Kind.OPEN and self.rule.harm in _MUST_BE_DECIDED:
            return Level.ERROR
        return self.level

    @property
    def order(self) -> tuple[int, int, str, int, int, str, str, str]:
        """The most dangerous first, then by level and place."""
        at = self.result.at
        danger = (_DANGER[self.rule.harm], _WEIGHT[self.level])
        return (*danger, at.file, at.start, at.end, self.rule.id, self.result.subject, self.result.message)


class NotChecked(NamedTuple):
    """A file, or a part of a check, that could not be looked at, and why."""

    file: str
    why: str


class OwnFault(NamedTuple):
    """A rule that broke down on a file: our fault, never the procedure's."""

    rule: str
    file: str
    error: str


class Since(NamedTuple):
    """The earlier version that a check compared with: its name, the results that are gone, and the texts that they stood in."""

    revision: str
    absent: tuple[Reported, ...]
    texts: Mapping[str, SourceText]


class Report(NamedTuple):
    """All that a check gives. `results` are in order; accepted ones stand apart."""

    results: tuple[Reported, ...] = ()
    accepted: tuple[Reported, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    own_faults: tuple[OwnFault, ...] = ()
    files: tuple[str, ...] = ()
    rules: tuple[Rule, ...] = ()
    failing_level: Level = Level.ERROR
    texts: Mapping[str, SourceText] = MappingProxyType({})
    since: Since | None = None

    @property
    def fails(self) -> bool:
        """Whether a result that counts is at or above the failing level."""
        return any(map(self.is_failing, self.results))

    def is_failing(self, each: Reported) -> bool:
        """Whether a result counts, and is at or above the failing level."""
        return each.acceptance is None and each.counts and _WEIGHT[each.weighs] <= _WEIGHT[self.failing_level]

    def count(self, level: Level) -> int:
        """How many results of a level there are, those that could not be decided left out."""
        return sum(each.level is level and each.result.kind is Kind.FAIL for each in self.results)

    @property
    def undecided(self) -> int:
        """How many results say that something could not be decided."""
        return sum(each.result.kind is Kind.OPEN for each in self.results)
