"""A working key stays outside, or a window open, whenever the vehicle may lock.

The lock button, a door that is shut and 12 V that go away can all lock a vehicle with every key in it. Then a window is broken for a job that
went well. A key in the hand or pocket of someone outside is enough, and so is an open window.

```yaml bad
start: {ignition: off, cylinder: O1, door-driver: open, window-driver: closed}
steps:
  lay-down: {do: [remove O1, put O1 aside, get-out]}
  shut: {do: close door-driver, then: all-right}  # <- 'close door-driver' may lock every key in the vehicle.
```

```yaml good
start: {ignition: off, cylinder: O1, door-driver: open, window-driver: closed}
steps:
  take-along: {do: [remove O1, put O1 pocket, get-out]}
  shut: {do: close door-driver, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def all_keys_inside_at_lock(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what may lock the vehicle while every key is inside and the window shut."""
    for found in study.states.of("all-keys-inside-at-lock"):
        message = f"'{found.demand.text}' may lock every key in the vehicle."
        yield broken(
            found, message, change="Have a working key outside in a hand or pocket before it, or the driver's window open."
        )
