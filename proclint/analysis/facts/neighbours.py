"""Two procedures for one task on the same vehicles, and what they say differently."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from proclint.analysis.facts.against import Stating
from proclint.analysis.facts.boxes import Box, joined, meet
from proclint.analysis.facts.claims import Claim
from proclint.catalogue.domains import meet as common

# How many keys are at hand is each job's own; and a little more of a wait contradicts nobody.
_OF_ONE_JOB = frozenset({"new-keys", "originals-present", "originals-working", "method", "job-takes"})
_WAITS = frozenset({"wait-written-least", "wait-written-most", "lockout-waited"})


@dataclass(frozen=True, slots=True, eq=False)
class Difference:
    """Two claims of two procedures that cannot both be true, the earlier file's first, and where they meet."""

    one: Claim
    other: Claim
    boxes: tuple[Box, ...]


def differences(jobs: Sequence[Stating]) -> Iterator[Difference]:
    """Give what procedures for one task say differently of the same vehicles, once for each attribute of two files."""
    by_task: dict[tuple[str, str], list[Stating]] = {}
    for each in jobs:
        by_task.setdefault((each.job.task, each.job.method), []).append(each)
    for group in by_task.values():
        for one, other in combinations(group, 2):
            yield from _between(one, other)


def _between(one: Stating, other: Stating) -> Iterator[Difference]:
    found: dict[str, Difference] = {}
    for first in one.claims:
        for second in other.claims:
            name = first.statement.attribute
            if name != second.statement.attribute or name in _OF_ONE_JOB | _WAITS:
                continue
            box = meet(first.box, second.box)
            if box is not None and common(first.statement.domain, second.statement.domain).is_empty:
                known = found.get(name)
                found[name] = Difference(first, second, joined((*known.boxes, box) if known else (box,)))
    yield from found.values()
