"""A key is proved only when the immobiliser has armed again.

While it learns, the vehicle starts with any key. A test five seconds after the learn is a test of nothing, and the key is dead the next day.
The session is closed, the key is out, the door is shut, and the lamp blinks slowly: then a start is a proof.

```yaml bad
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, fails: not-sure}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: not-sure}}  # <- 'start N1' proves nothing: the immobiliser has not armed again.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-sure: {kind: not-as-found, tell: The new key may not be learned.}
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, fails: not-sure}
  leave: {do: [close-session, turn N1 off, remove N1]}
  arm: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s, fails: not-sure}
  put-in: {do: insert N1}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: not-sure}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-sure: {kind: not-as-found, tell: The new key may not be learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def verify_without_rearm(flow: Flow, study: Study) -> Iterator[Result]:
    """Find starts behind a change while any key may start the vehicle."""
    for found in study.states.of("verify-without-rearm"):
        has = "has" if found.grade == "must" else "may"
        armed = "armed" if found.grade == "must" else "have armed"
        yield broken(
            found,
            f"'{found.demand.text}' proves nothing: the immobiliser {has} not {armed} again.",
            change="Close the session, take the key out, shut the door and write 'wait-rearm' before it.",
        )
