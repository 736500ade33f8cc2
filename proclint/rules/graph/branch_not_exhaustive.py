"""Whatever the answer is, some way fits.

The value that was left out is the one that turns up at the vehicle: the count is exactly the cap, the lamp is dark. A
last way `otherwise` takes all the rest.

```yaml bad
steps:
  count-them:
    do: read key as n
    ways: {n < 5: all-right, n > 5: full, fails: full}  # <- No way fits when n is 5.
endings:
  all-right: {kind: success, tell: There is room.}
  full: {kind: as-found, tell: There is no room.}
```

```yaml good
steps:
  count-them:
    do: read key as n
    ways: {n < 5: all-right, otherwise: full, fails: full}
endings:
  all-right: {kind: success, tell: There is room.}
  full: {kind: as-found, tell: There is no room.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study, TooManyCases, WrittenStep, in_words, left_out, read_condition
from proclint.model import Flow
from proclint.results import Harm, Kind, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def branch_not_exhaustive(flow: Flow, study: Study) -> Iterator[Result]:
    """Find answers and cases for which no way is written."""
    for each in study.written.steps.values():
        if each.step.follow is not None:
            continue
        missing = [leaving.outcome for leaving in each.exits if not leaving.target and leaving.outcome in each.outcomes.answers]
        if missing:
            yield _result(each, f"No way fits the answer {quoted(missing, 'or')}.")
        elif each.outcomes.conditions and each.step.way("otherwise") is None and each.step.way("done") is None:
            yield from _cases_left_out(each, study)


def _cases_left_out(each: WrittenStep, study: Study) -> Iterator[Result]:
    conditions = [read_condition(way.outcome, study.catalogue) for way in each.outcomes.conditions]
    known = tuple(condition for condition in conditions if condition is not None)
    if len(known) < len(conditions):
        return
    try:
        case = left_out(known, study.catalogue, study.ranges)
    except TooManyCases as many:
        said = f"Whether the ways of '{each.step.name}' leave a case out was not decided."
        yield Result(said, at=each.step.at, why=f"There are {many} cases, more than are tried.", kind=Kind.OPEN)
        return
    if case is not None:
        yield _result(each, f"No way fits when {in_words(case)}.")


def _result(each: WrittenStep, message: str) -> Result:
    return Result(message, at=each.step.at / "ways", change="Add a way for it, or 'otherwise'.", subject=each.step.name)
