"""Every new key is tried in all that it can do.

A key that starts the vehicle may not turn in the door, and its buttons may be another system. The customer finds it at home. What a kind of
key has, start, blade, buttons and passive handle, is tried before it is handed over.

```yaml bad
keys: {N: {kind: key, head: plain, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, fails: not-sure}
  leave: {do: [close-session, turn N1 off, remove N1]}
  arm: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s, fails: not-sure}
  put-in: {do: insert N1}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: not-sure}}
endings:
  all-right: {kind: success, tell: The new key is learned.}  # <- N1 is handed over, and its blade was not tried.
  not-sure: {kind: not-as-found, tell: Not every key may work.}
```

```yaml good
keys: {N: {kind: key, head: plain, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, fails: not-sure}
  leave: {do: [close-session, turn N1 off, remove N1, get-out]}
  blade: {do: try-blade N1, fails: not-sure}
  arm: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s, fails: not-sure}
  put-in: {do: insert N1}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: not-sure}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-sure: {kind: not-as-found, tell: Not every key may work.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken

_SAID = {"starts": "its start was", "buttons": "its buttons were", "passive": "its passive handle was"}


@procedure_rule(Level.WARNING, harm=Harm.NO_KEY)
def new_key_functions_incomplete(_: Procedure, study: Study) -> Iterator[Result]:
    """Find new keys that are handed over though part of what they can do was not tried; those at one ending have one cause."""
    told = set()
    for found in study.states.of("new-key-functions-incomplete"):
        key, _dot, part = found.demand.variable.rpartition(".")
        was = _SAID.get(part, f"its {part} was")
        result = broken(
            found,
            f"{key} is handed over, and {was} not tried."
            if "untested" in found.found
            else f"{key} fails, and the job ends in success.",
            change=f"Try {key} in all that it can do before this ending, and lead its failing elsewhere.",
        )
        yield result._replace(because=found.at) if found.at in told else result
        told.add(found.at)
