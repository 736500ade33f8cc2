"""Before a start the park brake is set, and no gear is in.

With a gear in, a vehicle jumps when it is cranked, and with the brake off it rolls when it is not. The start itself tells the reader of brake and
clutch pedal; park brake and selector are for lines before it, on every way.

```yaml bad
start: {ignition: off, cylinder: O1, park-brake: released, selector: neutral}
steps:
  try-it: {do: start O1, then: all-right, fails: no-start}  # <- 'start O1' comes while 'park-brake' is released.
endings:
  all-right: {kind: success, tell: The key starts the vehicle.}
  no-start: {kind: not-as-found, tell: The key does not start the vehicle.}
```

```yaml good
start: {ignition: off, cylinder: O1, park-brake: released, selector: neutral}
steps:
  stand: {do: set-park-brake}
  try-it: {do: start O1, then: all-right, fails: no-start}
endings:
  all-right: {kind: success, tell: The key starts the vehicle.}
  no-start: {kind: not-as-found, tell: The key does not start the vehicle.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, comes_while


@flow_rule(Level.ERROR, harm=Harm.INJURY)
def start_without_brake_or_park(flow: Flow, study: Study) -> Iterator[Result]:
    """Find starts that come with the park brake off or a gear in."""
    for found in study.states.of("start-without-brake-or-park"):
        yield broken(found, comes_while(found), change="Write 'secure-vehicle' before it on this way.")
