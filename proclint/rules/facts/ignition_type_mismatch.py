"""What is done at the ignition can be done there.

No key goes into a button, and no button starts a lock. A sheet for both kinds says for which of them each line is, or is two sheets.

```yaml bad
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}]
start: {ignition: off}
steps:
  put-in: {do: insert O1, then: all-right}  # <- 'insert O1' cannot be done with the ignition of these vehicles.
```

```yaml good
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed}]
start: {ignition: off, cylinder: empty}
steps:
  put-in: {do: insert O1, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.TIME)
def ignition_type_mismatch(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that do not fit the kind of ignition."""
    for found in study.states.of("ignition-type-mismatch"):
        message = f"'{found.demand.text}' cannot be done with the ignition of these vehicles."
        yield broken(found, message, change="Write it for the kind of ignition there is, or narrow the vehicles.")
