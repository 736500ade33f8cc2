"""Nothing that erases all keys is done before the customer has agreed to lose those that are not here.

The second key is with the son, four hundred kilometres away, and dies with the list. That may be wanted, and then it is counted, said and
signed first; else someone stands there with a dead key.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1, away: 0-2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, then: all-right, fails: not-sure}  # <- 'erase keys' may end keys that are not here, without consent.
endings:
  all-right: {kind: success, tell: The old keys are erased.}
  not-sure: {kind: not-as-found, tell: The old keys may be erased.}
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1, away: 0-2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  who: {follow: authority 3, fails: as-it-was}
  agree: {do: get-consent, fails: as-it-was}
  clear: {do: erase keys, expect: the screen shows KEYS 0, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: The old keys are erased.}
  not-sure: {kind: not-as-found, tell: The old keys may be erased.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def absent_keys_not_declared(flow: Flow, study: Study) -> Iterator[Result]:
    """Find erases and new lists that may drop keys which are away, without the customer's consent."""
    for found in study.states.of("absent-keys-not-declared"):
        message = f"'{found.demand.text}' may end keys that are not here, without consent."
        yield broken(found, message, change="Write 'count' and 'get-consent' before it, with a way for a customer who refuses.")
