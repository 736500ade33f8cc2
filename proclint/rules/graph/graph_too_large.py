"""A procedure with its blocks is small enough to be looked at whole.

A block that follows blocks that follow blocks grows with every level: eight calls on each of five levels are more than
thirty thousand steps. Past the limit a block counts as one step with its exits, and what becomes of the vehicle inside
it is not looked at. Rounds cost nothing: `repeat` and `for-each` say how often without a further call.

```yaml bad
# file blocks/try-one.yaml
block: try-one
exits: [tried]
steps: {a: {do: look on-lamp, then: tried}}
# file blocks/try-lap.yaml
block: try-lap
exits: [tried]
steps: {a: {follow: try-one 1}, b: {follow: try-one 1}, c: {follow: try-one 1}, d: {follow: try-one 1}, e: {follow: try-one 1}, f: {follow: try-one 1}, g: {follow: try-one 1}, h: {follow: try-one 1, then: tried}}
# file blocks/try-side.yaml
block: try-side
exits: [tried]
steps: {a: {follow: try-lap 1}, b: {follow: try-lap 1}, c: {follow: try-lap 1}, d: {follow: try-lap 1}, e: {follow: try-lap 1}, f: {follow: try-lap 1}, g: {follow: try-lap 1}, h: {follow: try-lap 1, then: tried}}
# file blocks/try-half.yaml
block: try-half
exits: [tried]
steps: {a: {follow: try-side 1}, b: {follow: try-side 1}, c: {follow: try-side 1}, d: {follow: try-side 1}, e: {follow: try-side 1}, f: {follow: try-side 1}, g: {follow: try-side 1}, h: {follow: try-side 1, then: tried}}
# file blocks/try-all.yaml
block: try-all
exits: [tried]
steps: {a: {follow: try-half 1}, b: {follow: try-half 1}, c: {follow: try-half 1}, d: {follow: try-half 1}, e: {follow: try-half 1}, f: {follow: try-half 1}, g: {follow: try-half 1}, h: {follow: try-half 1, then: tried}}
# file example.yaml
steps:
  before: {follow: try-all 1}
  after: {follow: try-all 1, then: all-right}  # <- From 'after' on, not every step was looked at.
```

```yaml good
# file blocks/try-one.yaml
block: try-one
exits: [tried]
steps: {a: {do: look on-lamp, then: tried}}
# file blocks/try-lap.yaml
block: try-lap
exits: [tried]
steps: {a: {follow: try-one 1, repeat: 8, then: tried}}
# file blocks/try-side.yaml
block: try-side
exits: [tried]
steps: {a: {follow: try-lap 1, repeat: 8, then: tried}}
# file blocks/try-half.yaml
block: try-half
exits: [tried]
steps: {a: {follow: try-side 1, repeat: 8, then: tried}}
# file blocks/try-all.yaml
block: try-all
exits: [tried]
steps: {a: {follow: try-half 1, repeat: 8, then: tried}}
# file example.yaml
steps:
  before: {follow: try-all 1}
  after: {follow: try-all 1, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Kind, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def graph_too_large(flow: Flow, study: Study) -> Iterator[Result]:
    """Say where the expansion of blocks came to its limit."""
    node = study.graph.own(study.graph.cut_at) if study.outline is None else None
    if node is None:
        return
    yield Result(
        f"From '{node.name}' on, not every step was looked at.",
        at=node.at,
        change="Write 'repeat:' where a block is followed again and again, or follow fewer blocks inside blocks.",
        why=f"With its blocks '{flow.id}' has more than {study.limits.nodes} steps and exits.",
        subject=node.name,
        kind=Kind.OPEN,
    )
