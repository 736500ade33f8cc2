"""How long a job takes: the quickest, the usual and the slowest way to each ending, and how long the ignition is on without support."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from proclint.analysis.shelf import Written
from proclint.analysis.time.ignition import Stay, ignition_on
from proclint.analysis.time.lengths import Length
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.spans import Span, Spans
from proclint.analysis.time.stn import Open


@dataclass(frozen=True, slots=True)
class WayTime:
    """The ways to one ending: by milliseconds, and the usual one by its steps, each with the outcome by which it is left.

    `slowest` is never too small, as conditions on ways are not looked at; it is nothing where `limit` says what was met. `ignition_on` is how long
    the ignition stays on without support on the usual way, least, usual and most; nothing where only states could tell.
    """

    ending: str
    kind: str
    quickest: int
    usual: int
    slowest: int | None
    usual_way: tuple[tuple[str, str], ...]
    ignition_on: tuple[int, int, int] | None
    limit: Open | None
