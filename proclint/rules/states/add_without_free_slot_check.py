"""Before a key is added, the count says that there is a place for it.

A full list is the commonest reason why a good key "does not take". Three chips were thrown away for it before someone read the count. It is
read before the learn, and a full list has a way of its own.

```yaml bad
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}  # <- Nobody knows at 'learn N1' whether a place is free.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
slots: {key: 5}
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  before: {do: read key as n, ways: {n < 5: learn-it, otherwise: full, fails: full}}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  full: {kind: as-found, tell: No key can be added.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def add_without_free_slot_check(flow: Flow, study: Study) -> Iterator[Result]:
    """Find learns that add a key on a way on which the count was not read."""
    for found in study.states.of("add-without-free-slot-check"):
        message = f"Nobody knows at '{found.demand.text}' whether a place is free."
        yield broken(found, message, change="Read the count before it on this way, and lead a full list elsewhere.")
