"""What an action needs is so on every way that leads to it.

A vehicle or a tool that refuses looks the same as a bad part, and good parts are thrown away for it. The need is met on the usual way as
a rule; a fallback that comes in past the line that met it goes without.

```yaml bad
steps:
  ready: {do: turn O1 on}
  plug-in: {do: plug tool}
  choose: {do: select A, then: all-right, fails: other-one}
fallbacks:
  other-one: {do: [unplug tool, wait 5 s, tap tool], then: all-right}  # <- 'tap tool' cannot be done: 'tool' is unplugged.
```

```yaml good
steps:
  ready: {do: turn O1 on}
  plug-in: {do: plug tool}
  choose: {do: select A, then: all-right, fails: other-one}
fallbacks:
  other-one: {do: [unplug tool, wait 5 s, plug tool, tap tool], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, cannot, in_words, listed


@flow_rule(Level.ERROR, harm=Harm.TIME)
def precondition_not_met(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines whose needs are not met on some way to them."""
    for found in study.states.of("precondition-not-met"):
        demand = found.demand
        change = (
            f"Bring {in_words(demand.variable)} to {listed(demand.good)} before it." if demand.good else "Lead another way here."
        )
        yield broken(found, cannot(found), change=change)
