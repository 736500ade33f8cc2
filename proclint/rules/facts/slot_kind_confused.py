"""The tool is told the kind of the key that is learned.

A valet key that is learned as a full one opens everything; a full key that is learned as a valet does not open the boot. The customer finds out
which.

```yaml bad
keys: {V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: V1, tool: plugged, session: open}
steps:
  kind:
    prompt: {says: "KEY TYPE? 1 FULL 2 VALET", choices: {"1": kind-key, "2": kind-valet}, answer: "1"}
  learn-it: {do: learn V1, expect: the screen shows STORED, then: all-right, fails: not-learned}  # <- 'learn V1' learns the key as one of another kind.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
keys: {V: {kind: valet, registered: false, here: 1}}
start: {ignition: on, cylinder: V1, tool: plugged, session: open}
steps:
  kind:
    prompt: {says: "KEY TYPE? 1 FULL 2 VALET", choices: {"1": kind-key, "2": kind-valet}, answer: "2"}
  learn-it: {do: learn V1, expect: the screen shows STORED, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def slot_kind_confused(flow: Flow, study: Study) -> Iterator[Result]:
    """Find learns for which the tool was told another kind of key."""
    for found in study.states.of("slot-kind-confused"):
        message = f"'{found.demand.text}' learns the key as one of another kind."
        yield broken(found, message, change="Answer with the kind of this key, directly before the learn.")
