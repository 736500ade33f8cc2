"""A second try is in something another than the first.

The same attempt gives the same result, and uses up one more. What is different the second time stands on the way back: the key is seated
again, the others are put away, power is connected, time passes, another key or variant is taken.

```yaml bad
steps:
  ready: {do: [plug tool, turn O1 on]}
  open: {do: open-session, then: all-right, fails: once-more}
fallbacks:
  once-more: {tries: 1, ways: {done: open, spent: silent}}  # <- The second try of 'open' is as the first was.
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
steps:
  ready: {do: [plug tool, turn O1 on]}
  open: {do: open-session, then: all-right, fails: once-more}
fallbacks:
  once-more: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: open, spent: silent}}
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.WARNING, harm=Harm.TIME)
def fallback_changes_nothing(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what is tried again though nothing was done since it failed."""
    for retry in study.idle_retries:
        yield Result(
            f"The second try of '{retry.again}' is as the first was.",
            at=flow.steps[retry.last].at,
            change="Write what is different the second time, or lead on to something else.",
            subject=retry.again,
            trace=told(study.graph, study.way_of(retry)),
        )
