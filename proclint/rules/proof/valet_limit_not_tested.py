"""A valet key is tried where it must not open.

A valet key that was learned as a full key opens glove box and boot for anyone it is lent to. Whether it starts the vehicle says nothing of
that.

```yaml bad
keys: {V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: V1, tool: plugged, session: open}
steps:
  learn-it: {do: learn V1 valet, expect: the screen shows VALET 1, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: The valet key is learned.}  # <- Nobody tries what V1 must not open.
  not-sure: {kind: not-as-found, tell: The valet key may not be learned.}
```

```yaml good
keys: {V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: V1, tool: plugged, session: open}
steps:
  learn-it: {do: learn V1 valet, expect: the screen shows VALET 1, fails: not-sure}
  leave: {do: [close-session, turn V1 off, remove V1]}
  limit: {do: try-limit V1, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: The valet key is learned.}
  not-sure: {kind: not-as-found, tell: The valet key may open too much.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.NOTE, harm=Harm.NO_KEY)
def valet_limit_not_tested(_: Procedure, study: Study) -> Iterator[Result]:
    """Find valet keys that were learned and whose limit was not tried."""
    for found in study.states.of("valet-limit-not-tested"):
        key = found.demand.variable.rpartition(".")[0]
        yield broken(
            found,
            f"Nobody tries what {key} must not open.",
            change=f"Write 'try-limit {key}' before this ending, and lead its failing elsewhere.",
        )
