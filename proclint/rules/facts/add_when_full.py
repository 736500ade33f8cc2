"""A key is added only while a place is free.

On a full list a learn fails, or pushes a key out that worked. The count was read; the way on which it says "full" leads elsewhere.

```yaml bad
slots: {key: 5}
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  before: {do: read key as n, ways: {n <= 5: learn-it, otherwise: full, fails: full}}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}  # <- All places may be taken when 'learn N1' comes.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  full: {kind: as-found, tell: No key can be added.}
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
def add_when_full(flow: Flow, study: Study) -> Iterator[Result]:
    """Find learns that come when no place may be free, outside of rounds."""
    for found in study.states.of("add-when-full"):
        step = found.station.step
        if step is None or step.loop is None:
            message = f"All places may be taken when '{found.demand.text}' comes."
            yield broken(found, message, change="Lead the way on which the list is full to an ending or to an erase.")
