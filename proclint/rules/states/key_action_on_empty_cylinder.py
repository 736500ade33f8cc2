"""A key goes into an empty cylinder, and only the key that is in it can be turned or taken out.

A text that says "insert N1" while O1 is still in has lost track of the key, and so will whoever reads it: the wrong key is turned,
and what follows is learned to the wrong one. Mostly a swap was written for the usual way, and another way comes in between.

```yaml bad
steps:
  look-in: {do: look hood, expect: closed, fails: shut}
  take-out: {do: remove O1}
  put-in: {do: insert N1, then: all-right}  # <- 'insert N1' cannot be done: 'cylinder' is O1.
fallbacks:
  shut: {do: close-hood, then: put-in}
```

```yaml good
steps:
  look-in: {do: look hood, expect: closed, fails: shut}
  take-out: {do: remove O1}
  put-in: {do: insert N1, then: all-right}
fallbacks:
  shut: {do: close-hood, then: take-out}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, cannot, listed


@flow_rule(Level.ERROR, harm=Harm.TIME)
def key_action_on_empty_cylinder(flow: Flow, study: Study) -> Iterator[Result]:
    """Find keys that are put into a taken cylinder, and keys that are turned or taken out and are not in it."""
    for found in study.states.of("key-action-on-empty-cylinder"):
        yield broken(found, cannot(found), change=f"Bring the cylinder to {listed(found.demand.good)} on this way first.")
