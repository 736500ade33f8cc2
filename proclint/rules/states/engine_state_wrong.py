"""The engine stands where it has to stand, and is not started by the way.

A write to a running engine is refused, or worse; a hood that is opened over one has moving parts under it. With a start button the foot
decides: START with the brake down starts the engine, and with the brake up only switches on.

```yaml bad
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}
keys: {O: {kind: fob, registered: true, here: 1}}
start: {ignition: off, engine: stopped}
steps:
  free: {do: push brake}
  switch-on: {do: press START 2 times, then: all-right}  # <- 'press START 2 times' comes while 'brake-pedal' is down.
```

```yaml good
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}
keys: {O: {kind: fob, registered: true, here: 1}}
start: {ignition: off, engine: stopped}
steps:
  near: {do: put O1 hand}
  free: {do: [push brake, let-up brake]}
  switch-on: {do: press START 2 times, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, comes_while, in_words, listed


@flow_rule(Level.ERROR, harm=Harm.DAMAGE)
def engine_state_wrong(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that need the engine stopped, or the foot off the brake, and come without."""
    for found in study.states.of("engine-state-wrong"):
        yield broken(
            found,
            comes_while(found),
            change=f"Bring {in_words(found.demand.variable)} to {listed(found.demand.good)} on this way before it.",
        )
