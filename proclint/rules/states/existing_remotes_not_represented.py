"""Where a learn drops the remotes that were known, each that is here is learned again.

One remote was added, and next morning the other two were dead: the vehicle clears its list at the first learn. So every remote that is here is
learned in the same job, originals first.

```yaml bad
method: on-board
learning: replace-all
keys:
  R: {kind: remote, registered: true, here: 2}
  N: {kind: remote, registered: false, here: 1}
start: {ignition: on, cylinder: empty}
steps:
  learn-it: {do: learn N1, expect: the locks click, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new remote is learned.}  # <- At 'all-right' R1 is no longer in the vehicle's list.
  not-learned: {kind: not-as-found, tell: The new remote is not learned.}
```

```yaml good
method: on-board
learning: replace-all
keys:
  R: {kind: remote, registered: true, here: 2}
  N: {kind: remote, registered: false, here: 1}
start: {ignition: on, cylinder: empty}
steps:
  learn-each: {for-each: {X: [R, N]}, do: {do: learn X, expect: the locks click}, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: Every remote that is here works.}
  not-learned: {kind: not-as-found, tell: A remote is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def existing_remotes_not_represented(flow: Flow, study: Study) -> Iterator[Result]:
    """Find successes at which a remote that is here was dropped and not learned again."""
    for found in study.states.of("existing-remotes-not-represented"):
        key = found.demand.variable.partition(".")[0]
        message = f"At '{found.station.of.name}' {key} is no longer in the vehicle's list."
        yield broken(found, message, change="Learn every remote that is here again on this way, originals first.")
