"""Of the ways of one step, only one fits at a time.

Where two conditions can both be true, two readers take different ways on the same vehicle, and both are right.

```yaml bad
steps:
  count-them:
    do: read key as n
    ways: {n < 5: all-right, n >= 4: full, fails: full}  # <- Two ways fit at once: when n is 4.
endings:
  all-right: {kind: success, tell: There is room.}
  full: {kind: as-found, tell: There is no room.}
```

```yaml good
steps:
  count-them:
    do: read key as n
    ways: {n < 5: all-right, n >= 5: full, fails: full}
endings:
  all-right: {kind: success, tell: There is room.}
  full: {kind: as-found, tell: There is no room.}
```
"""

from collections.abc import Iterator
from itertools import combinations

from proclint.analysis import Study, TooManyCases, in_words, overlap, read_condition
from proclint.model import Flow, Way
from proclint.results import Harm, Kind, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def branch_not_exclusive(flow: Flow, study: Study) -> Iterator[Result]:
    """Find pairs of conditions that can hold together."""
    for each in study.written.steps.values():
        for first, second in combinations(each.outcomes.conditions, 2):
            yield from _pair(first, second, study)


def _pair(first: Way, second: Way, study: Study) -> Iterator[Result]:
    conditions = [read_condition(way.outcome, study.catalogue) for way in (first, second)]
    if conditions[0] is None or conditions[1] is None:
        return
    try:
        case = overlap(conditions[0], conditions[1], study.catalogue, study.ranges)
    except TooManyCases as many:
        said = f"Whether '{first.outcome}' and '{second.outcome}' can both hold was not decided."
        yield Result(said, at=second.at, why=f"There are {many} cases, more than are tried.", kind=Kind.OPEN)
        return
    if case is not None:
        yield Result(
            f"Two ways fit at once: when {in_words(case)}.",
            at=second.at,
            change=f"Narrow '{first.outcome}' or '{second.outcome}'.",
            subject=second.outcome,
            notes=(Note(first.at, f"'{first.outcome}' holds then too."),),
        )
