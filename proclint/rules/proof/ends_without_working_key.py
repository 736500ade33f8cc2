"""A vehicle that had keys is not left without one.

The keys were erased, the new one did not learn, and the job ends: a tow, and a claim. Behind an erase comes a second attempt, with another new
key or the original, before anything else; and where even that fails the job ends not as found, with the tow arranged.

```yaml bad
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, then: all-right, fails: all-right}
endings:
  all-right: {kind: success, tell: The keys are erased.}  # <- No key starts the vehicle any more when the job ends.
```

```yaml good
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: none-left}
  again: {do: learn O1, expect: the screen shows KEYS 1, then: all-right, fails: none-left}
endings:
  all-right: {kind: success, tell: The list is new.}
  none-left: {kind: not-as-found, tell: No key may start the vehicle; a tow is arranged.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.ERROR, harm=Harm.NO_KEY)
def ends_without_working_key(_: Procedure, study: Study) -> Iterator[Result]:
    """Find endings at which every key that was known has been erased or dropped."""
    for found in study.states.of("ends-without-working-key"):
        starts = "No key starts" if found.grade == "must" else "Perhaps no key starts"
        yield broken(
            found,
            f"{starts} the vehicle any more when the job ends.",
            change="Learn a key on this way, or end it as 'not-as-found' with the tow arranged.",
        )
