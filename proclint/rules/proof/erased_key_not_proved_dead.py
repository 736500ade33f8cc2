"""An erased key that is here is tried, to see that it is dead.

An erase that did not happen leaves a lost or sold key alive, and the customer believes it is not. A key that is here can be tried: then "it
does not start" is the wished answer.

```yaml bad
keys: {O: {kind: key, registered: true, here: 2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase O2, expect: the screen shows KEYS 1, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: O2 is erased.}  # <- Nobody tries whether O2, which was erased, is dead.
  not-sure: {kind: not-as-found, tell: O2 may still start the vehicle.}
```

```yaml good
keys: {O: {kind: key, registered: true, here: 2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase O2, expect: the screen shows KEYS 1, fails: not-sure}
  leave: {do: [close-session, turn O1 off, remove O1]}
  arm: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s, fails: not-sure}
  put-in: {do: insert O2}
  try-it: {do: {do: start O2, expect: does not start}, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: O2 is erased.}
  not-sure: {kind: not-as-found, tell: O2 may still start the vehicle.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.WARNING, harm=Harm.NO_KEY)
def erased_key_not_proved_dead(_: Procedure, study: Study) -> Iterator[Result]:
    """Find keys that are here and were erased, and were not tried since."""
    for found in study.states.of("erased-key-not-proved-dead"):
        key = found.demand.variable.rpartition(".")[0]
        yield broken(
            found,
            f"Nobody tries whether {key}, which was erased, is dead.",
            change=f"Try {key} when the immobiliser has armed: that it does not start is the wished answer.",
        )
