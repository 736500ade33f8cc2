"""While a vehicle waits, nothing is done that sets its clock back.

In the eighth minute of ten the ignition goes off for the sake of a window, and the vehicle counts from the beginning. What sets it back
says a facts table, in `wait-resets-on`; doors, windows and plug are seen to before the wait begins.

```yaml bad
start: {ignition: on, cylinder: O1, tool: plugged, session: open, access: waiting, door-driver: closed, locks: unlocked}
steps:
  look-in: {do: open door-driver, then: all-right}  # <- 'open door-driver' sets the running wait back to nothing.
# file facts/example-handbook.csv
make,model,years,build,markets,ignition-kind,gearbox,high-voltage,variant,method,tell,on,note,wait-resets-on
Corvane,Halyard,2013-2017,,region-1,,,,,,,,,door
```

```yaml good
start: {ignition: on, cylinder: O1, tool: plugged, session: open, access: waiting, hood: closed, engine: stopped}
steps:
  look-in: {do: look hood, then: all-right}
# file facts/example-handbook.csv
make,model,years,build,markets,ignition-kind,gearbox,high-voltage,variant,method,tell,on,note,add-mode,wait-resets-on
Corvane,Halyard,2013-2017,,region-1,,,,,,,,,add,door
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.TIME)
def step_breaks_running_wait(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines between two security waits that set the vehicle's clock back."""
    every = study.states.of("step-breaks-running-wait")
    for found in every:
        # A wait that was broken is not done, so the vehicle still waits at what comes behind.
        behind = [leg.station for leg in found.way if leg.station != found.station]
        if any(other.station in behind for other in every):
            continue
        message = f"'{found.demand.text}' sets the running wait back to nothing."
        yield broken(found, message, change="Move it before the first wait, or behind the last.")
