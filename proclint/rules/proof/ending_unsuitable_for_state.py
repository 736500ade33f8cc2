"""A job that changed something does not end as found.

The log says "as found" and two keys are dead. After an erase or a learn, and after one that failed and may have happened all the same, a job
that is given up ends not as found and says what no longer works.

```yaml bad
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, then: all-right, fails: given-up}
endings:
  all-right: {kind: success, tell: It works.}
  given-up: {kind: as-found, tell: Nothing was changed.}  # <- It ends as found, though its keys may have been changed.
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 1, then: all-right, fails: given-up}
endings:
  all-right: {kind: success, tell: It works.}
  given-up: {kind: not-as-found, tell: The new key may have been learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.ERROR, harm=Harm.NO_KEY)
def ending_unsuitable_for_state(_: Procedure, study: Study) -> Iterator[Result]:
    """Find endings as found behind something that changed the vehicle."""
    for found in study.states.of("ending-unsuitable-for-state"):
        were = "were" if found.found == ("yes",) else "may have been"
        yield broken(
            found,
            f"It ends as found, though its keys {were} changed.",
            change="Lead this way to an ending of kind 'not-as-found' that says what no longer works.",
        )
