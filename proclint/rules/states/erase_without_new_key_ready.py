"""Nothing is erased before the keys that come after are cut and checked.

After the erase the vehicle has no key. If only then a blade does not turn, or the chip is of the wrong kind, it is towed. So each new key
is cut, and its part compared, before the first line that erases.

```yaml bad
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: not-learned}  # <- 'erase keys' comes before N1 is cut and checked.
  compare: {do: [cut-blade N1, check-part N1], then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  compare: {do: [cut-blade N1, check-part N1], fails: as-it-was}
  clear: {do: erase keys, expect: the screen shows KEYS 0, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The old keys are erased.}
  not-learned: {kind: not-as-found, tell: The old keys may be erased.}
  as-it-was: {kind: as-found, tell: The new key does not fit; nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def erase_without_new_key_ready(flow: Flow, study: Study) -> Iterator[Result]:
    """Find erases that come before each new key is cut and checked."""
    for found in study.states.of("erase-without-new-key-ready"):
        key = found.demand.variable.partition(".")[0]
        message = f"'{found.demand.text}' comes before {key} is cut and checked."
        yield broken(found, message, change=f"Move the lines that cut and check {key} before it.")
