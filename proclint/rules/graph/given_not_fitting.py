"""A block that is followed is given what it asks for, and nothing else.

A block that proves "the keys L" proves nothing when nobody says which keys L are. What the caller gives under another
name is lost.

```yaml bad
# file example.yaml
steps:
  prove: {follow: show 1}  # <- 'show' is not told which 'K' is meant.
  look-on: {do: look hood, then: all-right}
# file blocks/show.yaml
block: show
given: {K: key}
exits: [shown]
steps: {hold: {do: put K hand, then: shown}}
```

```yaml good
# file example.yaml
steps:
  prove: {follow: show 1, given: {K: O1}}
  look-on: {do: look hood, then: all-right}
# file blocks/show.yaml
block: show
given: {K: key}
exits: [shown]
steps: {hold: {do: put K hand, then: shown}}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def given_not_fitting(flow: Flow, study: Study) -> Iterator[Result]:
    """Compare what a step gives to a block with what the block asks for."""
    for step in flow.steps.values():
        block = study.shelf.blocks.get(step.follow.block) if step.follow is not None else None
        if step.follow is None or block is None:
            continue
        for name, kind in block.given.items():
            if name not in step.follow.given:
                said = f"'{block.id}' is not told which '{name}' is meant."
                yield Result(said, at=step.follow.at, change=f"Write 'given: {{{name}: ...}}' with a {kind}.", subject=name)
        for name in step.follow.given:
            if name not in block.given:
                said = f"'{block.id}' has no use for '{name}'."
                yield Result(said, at=step.follow.at, change="Delete it, or give it under the block's own name.", subject=name)
