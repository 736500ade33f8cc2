"""Every original key that is here is tried after the last change.

The new key works, and the old one was dropped by the same learn. Nobody notices until the family stands in front of the vehicle the next day.
A test before the change proves nothing about what the change did.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: The new key is learned.}  # <- Nobody tries O1 after the last change.
  not-sure: {kind: not-as-found, tell: The new key may not be learned.}
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, fails: not-sure}
  leave: {do: [close-session, turn N1 off, remove N1]}
  arm: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s, fails: not-sure}
  put-in: {do: insert O1}
  try-it: {do: start O1, ways: {runs: all-right, otherwise: not-sure}}
endings:
  all-right: {kind: success, tell: Both keys are learned.}
  not-sure: {kind: not-as-found, tell: Not every key may work.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.ERROR, harm=Harm.NO_KEY)
def original_key_not_verified(_: Procedure, study: Study) -> Iterator[Result]:
    """Find successes at which an original key was not tried, or failed, since the last change; those at one ending have one cause."""
    told = set()
    for found in study.states.of("original-key-not-verified"):
        key = found.demand.variable.rpartition(".")[0]
        is_untested = "untested" in found.found
        result = broken(
            found,
            f"Nobody tries {key} after the last change." if is_untested else f"{key} fails, and the job ends in success.",
            change=f"Try {key} when the immobiliser has armed, before this ending, and lead its failing elsewhere.",
        )
        yield result._replace(because=found.at) if found.at in told else result
        told.add(found.at)
