"""No block follows itself, directly or through others.

Whoever follows such a block never comes out of it: each round begins the next one.

```yaml bad
# file blocks/wake.yaml
block: wake
exits: [awake]
steps:
  rouse: {follow: stir 1, then: awake}  # <- 'wake' leads through 'stir' back into itself.
# file blocks/stir.yaml
block: stir
exits: [stirred]
steps:
  touch: {follow: wake 1, then: stirred}  # <- 'stir' leads through 'wake' back into itself.
```

```yaml good
# file blocks/wake.yaml
block: wake
exits: [awake]
steps:
  rouse: {follow: stir 1, then: awake}
# file blocks/stir.yaml
block: stir
exits: [stirred]
steps:
  touch: {do: look on-lamp, then: stirred}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.library import ring_through, uses_of
from proclint.model import Block, Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def blocks_in_a_ring(flow: Flow, study: Study) -> Iterator[Result]:
    """Find the calls by which a block comes back to itself."""
    if not isinstance(flow, Block):
        return
    for use in uses_of(flow):
        ring = ring_through(use.block, flow.id, study.shelf.blocks)
        if ring is None:
            continue
        through = f"through {quoted(ring)} " if use.block != flow.id else ""
        yield Result(
            f"'{flow.id}' leads {through}back into itself.",
            at=use.at,
            change="Take the shared steps out into a block of their own.",
            subject=use.block,
        )
