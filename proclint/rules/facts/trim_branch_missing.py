"""What is done differently by gearbox or drive has a branch.

A sheet that covers manual and automatic vehicles and moves the selector to P cannot be followed at half of them. Only what the file covers is
asked for.

```yaml bad
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, gearbox: [manual, automatic]}]
start: {ignition: off, cylinder: O1, selector: unknown}
steps:
  brake: {do: [set-park-brake, push brake, turn O1 on]}
  move: {do: move-selector P, then: all-right}  # <- 'move-selector P' cannot be done at some of these vehicles.
```

```yaml good
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, gearbox: [automatic]}]
start: {ignition: off, cylinder: O1, selector: N}
steps:
  brake: {do: [set-park-brake, push brake, turn O1 on]}
  move: {do: move-selector P, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.INJURY)
def trim_branch_missing(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that fit only some gearboxes or drives that the file covers."""
    for found in study.states.of("trim-branch-missing"):
        message = f"'{found.demand.text}' cannot be done at some of these vehicles."
        yield broken(found, message, change="Ask which it is and lead each to its own step, or narrow the vehicles.")
