"""A line does not set what is so already.

Whoever is told to turn to off what is off believes that a step was missed, and does another, or waits for what has happened long ago. Mostly a
movement before it was left out. What only has to be so in the end is a 'make-sure'.

```yaml bad
steps:
  ready: {do: plug tool}
  switch-off: {do: turn O1 off, then: all-right}  # <- 'turn O1 off' changes nothing: 'ignition' is off already.
```

```yaml good
steps:
  ready: {do: plug tool}
  switch: {do: [turn O1 on, turn O1 off], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, in_words, listed


@flow_rule(Level.WARNING, harm=Harm.TIME)
def turn_to_current_state(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that set what is so already, on every way to them."""
    for each in study.by_way("turn-to-current-state"):
        found = each.finding
        what = in_words(found.demand.variable)
        message = f"'{found.demand.text}' changes nothing: {what} is {listed(found.found)} already."
        if found.grade != "must":
            message = f"'{found.demand.text}' may change nothing: {what} may be so already."
        if each.right is None:
            yield broken(found, message, change="Delete it, or write the movement before it that is missing.")
