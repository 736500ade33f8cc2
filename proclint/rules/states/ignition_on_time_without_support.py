"""What takes minutes is done with the ignition off, or with support.

The blade is cut in the van while the ignition stands at on. Half an hour later the battery is flat, and a write that fails for it leaves a dead
module. Told is each line that takes longer than a battery alone holds at ON; how long that is, says the catalogue (common practice, no source).

```yaml bad
start: {ignition: on, cylinder: O1, support: none}
steps:
  look-for-it: {do: wait 8-10 min, then: all-right}  # <- 'wait 8-10 min' comes with the ignition on, and nothing supports the battery.
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  look-for-it: {do: wait 8-10 min, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def ignition_on_time_without_support(_: Flow, study: Study) -> Iterator[Result]:
    """Find long lines at ON without support of the battery, on any way."""
    for found in study.states.of("ignition-on-time-without-support"):
        message = f"'{found.demand.text}' comes with the ignition on, and nothing supports the battery."
        yield broken(found, message, change="Turn the ignition off before it, or connect support before the ignition goes on.")
