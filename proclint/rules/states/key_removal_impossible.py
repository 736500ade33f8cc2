"""A key is taken out only where the cylinder lets it go.

A key comes out at off alone and, with an automatic gearbox, in P. Whoever is told to take it out elsewhere pulls, and breaks the blade
or the interlock. On the usual way the ignition is off by then; on the way of a fallback it may not be.

```yaml bad
steps:
  switch-on: {do: turn O1 on}
  swap: {do: remove O1, then: all-right}  # <- 'remove O1' cannot be done: 'ignition' is on.
```

```yaml good
steps:
  switch-on: {do: turn O1 on}
  swap: {do: [turn O1 off, remove O1], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, cannot


@flow_rule(Level.ERROR, harm=Harm.DAMAGE)
def key_removal_impossible(flow: Flow, study: Study) -> Iterator[Result]:
    """Find keys that are taken out while the cylinder holds them."""
    for found in study.states.of("key-removal-impossible"):
        yield broken(found, cannot(found), change="Turn the key to off, and move the selector to P, before it is taken out.")
