"""One difference in meaning between two versions, and how differences are put in order."""

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from proclint.source import Place


class Weight(StrEnum):
    """Which way a difference goes for the vehicle and the people at it, the most dangerous first."""

    LOST = "a guard is gone"
    MORE = "more can happen"
    OTHER = "something else happens"
    LESS = "less can happen"
    GAINED = "a guard is new"
    UPKEEP = "about the file"
    WORDS = "only words"

    @property
    def mirrored(self) -> "Weight":
        """The weight of the same difference seen from the new version."""
        return _MIRRORED.get(self, self)


_MIRRORED = {
    Weight.LOST: Weight.GAINED,
    Weight.GAINED: Weight.LOST,
    Weight.MORE: Weight.LESS,
    Weight.LESS: Weight.MORE,
}


class What(StrEnum):
    """What differs; in order of danger where the weight is the same."""

    CAUTION = "caution"
    PROOF = "proof"
    GUARD = "guard"
    LEVEL = "level"
    ACCEPTED = "accepted"
    TRIES = "tries"
    LOOP = "loop"
    CAP = "cap"
    PROMPT = "prompt"
    STEP = "step"
    ACTION = "action"
    WAY = "way"
    WINDOW = "window"
    TIME = "time"
    ENDING = "ending"
    BLOCK = "block"
    FILE = "file"
    VEHICLES = "vehicles"
    CLAIM = "claim"
    KEYS = "keys"
    STATE = "state"
    JOB = "job"
    RENAMED = "renamed"
    MOVED = "moved"
    SOURCE = "source"
    SETTING = "setting"
    CHANGED_WITHOUT_VERSION = "changed-without-version"
    BLOCK_CHANGED_SINCE_REVIEW = "block-changed-since-review"
    CHANGED_SINCE_REVIEW = "changed-since-review"
    VERSION = "version"
    REVIEW = "review"
    TEXT = "text"


class Difference(NamedTuple):
    """One thing that differs: `said` is a sentence for a person at a vehicle.

    `at_old` and `at_new` are where it stands in each version, nothing where it stands in one only.
    """

    what: What
    weight: Weight
    at_old: Place | None
    at_new: Place | None
    said: str


_WEIGHTS = {weight: rank for rank, weight in enumerate(Weight)}
_WHATS = {what: rank for rank, what in enumerate(What)}


def in_order(differences: Iterable[Difference]) -> tuple[Difference, ...]:
    """Put differences in order, the most dangerous first; what is as dangerous keeps its order."""
    return tuple(sorted(differences, key=lambda each: (_WEIGHTS[each.weight], _WHATS[each.what])))


def of_bound(old: float | None, new: float | None, *, is_least: bool = False) -> Weight:
    """Weigh a bound that differs: one that is gone guards nothing, a higher most or lower least lets more happen."""
    if new is None:
        return Weight.LOST
    if old is None:
        return Weight.GAINED
    return Weight.MORE if (new > old) != is_least else Weight.LESS


def of_presence(*, is_guard: bool, adds: bool, is_gone: bool) -> Weight:
    """Weigh something that is gone or new: what writes lets more happen where it is new, a guard less."""
    weight = Weight.LESS if adds else Weight.LOST if is_guard else Weight.OTHER
    return weight if is_gone else weight.mirrored
