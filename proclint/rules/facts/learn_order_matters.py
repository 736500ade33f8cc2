"""The key that a new list takes for the main one is no valet key.

Some vehicles take the first key of a new list for the main key. If that is the valet key, it opens everything from then on, and the full key
behind it may not. So a full key is learned first.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,first-learned-is-main
Corvane,Halyard,2013-2017,true
# file example.yaml
keys: {N: {kind: key, registered: false, here: 1}, V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: V1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: not-learned}
  learn-valet: {do: learn V1, expect: the screen shows STORED, fails: not-learned}  # <- 'learn V1' makes a valet key the first of the new list.
  swap: {do: [turn V1 off, remove V1, insert N1, turn N1 on]}
  open-again: {do: open-session, expect: the key menu opens, within: 30 s, fails: not-learned}
  learn-full: {do: learn N1, expect: the screen shows STORED, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: Both keys are learned.}
  not-learned: {kind: not-as-found, tell: The keys are not learned.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,first-learned-is-main
Corvane,Halyard,2013-2017,true
# file example.yaml
keys: {N: {kind: key, registered: false, here: 1}, V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: not-learned}
  learn-full: {do: learn N1, expect: the screen shows STORED, fails: not-learned}
  swap: {do: [close-session, turn N1 off, remove N1, insert V1, turn V1 on]}
  open-again: {do: open-session, expect: the key menu opens, within: 30 s, fails: power-rest}
  learn-valet: {do: learn V1, expect: the screen shows STORED, then: all-right, fails: not-learned}
fallbacks:
  power-rest:
    tries: 1
    do: [turn V1 off, wait 30-35 s, turn V1 on]
    ways: {done: open-again, spent: not-learned}
endings:
  all-right: {kind: success, tell: Both keys are learned.}
  not-learned: {kind: not-as-found, tell: The keys are not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def learn_order_matters(flow: Flow, study: Study) -> Iterator[Result]:
    """Find valet keys that are learned first into a list whose first key is the main one."""
    for found in study.states.of("learn-order-matters"):
        message = f"'{found.demand.text}' makes a valet key the first of the new list."
        yield broken(found, message, change="Learn a full key first, and the valet key behind it.")
