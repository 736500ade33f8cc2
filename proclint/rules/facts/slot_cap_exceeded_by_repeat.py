"""Rounds of learning stop when the last place is taken.

A place was free when the rounds began; each of them takes one more. The key too many pushes out the first, or is thrown away as faulty.

```yaml bad
slots: {fob: 4}
keys: {N: {kind: fob, registered: false, here: 1-3}}
start: {ignition: on, tool: plugged, session: open}
steps:
  before: {do: read fob as n, ways: {n < 4: learn-each, otherwise: full, fails: full}}
  learn-each:
    for-each: {X: N}
    do: {do: learn X, expect: the screen shows one fob more}  # <- The rounds may take more places than there are.
    then: all-right
    fails: not-learned
endings:
  all-right: {kind: success, tell: The new fobs are learned.}
  not-learned: {kind: not-as-found, tell: A new fob is not learned.}
  full: {kind: as-found, tell: No fob can be added.}
```

```yaml good
slots: {fob: 4}
keys: {N: {kind: fob, registered: false, here: 1-3}}
start: {ignition: on, tool: plugged, session: open}
steps:
  how-many: {do: count N}
  before: {do: read fob as n, ways: {n + N.here <= 4: learn-each, otherwise: full, fails: full}}
  learn-each:
    for-each: {X: N}
    do: {do: learn X, expect: the screen shows one fob more}
    then: all-right
    fails: not-learned
endings:
  all-right: {kind: success, tell: The new fobs are learned.}
  not-learned: {kind: not-as-found, tell: A new fob is not learned.}
  full: {kind: as-found, tell: No fob can be added.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def slot_cap_exceeded_by_repeat(flow: Flow, study: Study) -> Iterator[Result]:
    """Find rounds of learning in which the places may run out."""
    for found in study.states.of("add-when-full"):
        step = found.station.step
        if step is not None and step.loop is not None:
            message = "The rounds may take more places than there are."
            yield broken(found, message, change="Compare the count and the number of new keys with the cap before the rounds.")
