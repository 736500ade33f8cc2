"""What a rule says, in the words of SARIF 2.1.0 (OASIS): result, level, kind, location, code flow, fix, suppression."""

from enum import StrEnum
from typing import NamedTuple

from proclint.source import Place


class Level(StrEnum):
    """How much is at stake (SARIF 3.27.10)."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


class Kind(StrEnum):
    """Whether a rule found a fault or could not decide (SARIF 3.27.9)."""

    FAIL = "fail"
    OPEN = "open"


class State(StrEnum):
    """How a result stands to an earlier version of the library (SARIF 3.27.24)."""

    NEW = "new"
    UNCHANGED = "unchanged"
    UPDATED = "updated"
    ABSENT = "absent"


class Harm(StrEnum):
    """What a rule guards, the most dangerous first."""

    LIFE = "life"
    INJURY = "injury"
    NO_KEY = "no-key"
    DAMAGE = "damage"
    TIME = "time"
    READER = "reader"


class Note(NamedTuple):
    """A second place that helps to see what is meant (SARIF: related location)."""

    at: Place
    message: str


class Passed(NamedTuple):
    """One stop on a way: the step, and the outcome by which it was left."""

    at: Place
    step: str
    outcome: str = ""
    words: str = ""


class Edit(NamedTuple):
    """Replace the span of `at` by `text`."""

    at: Place
    text: str


class Fix(NamedTuple):
    """A ready change that needs no judgement."""

    description: str
    edits: tuple[Edit, ...]


class Result(NamedTuple):
    """One thing that a rule found.

    `message` says what happens at the vehicle, its first sentence in at most 12 words; `why` gives the numbers and where
    they come from; `change` is one imperative sentence. `trace` is the shortest way that shows it. `subject` is what the
    result is about besides its rule. Results with equal rule, subject and `because` are one. `about` is what an analysis found
    and the result puts into words, where somebody may have to know which.
    """

    message: str
    at: Place
    change: str = ""
    why: str = ""
    subject: str = ""
    level: Level | None = None
    kind: Kind = Kind.FAIL
    notes: tuple[Note, ...] = ()
    trace: tuple[Passed, ...] = ()
    fixes: tuple[Fix, ...] = ()
    because: Place | None = None
    about: object = None
