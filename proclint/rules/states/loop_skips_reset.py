"""Before a timed part is tried again, the vehicle is brought back to where the part begins.

The vehicle counts: with the ignition still on, the movements of the first try belong to the second, and the second fails for it. The way back
switches off, takes the key out, or lets time pass.

```yaml bad
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right, fails: too-late}
fallbacks:
  too-late: {tries: 1, do: unplug tool, ways: {done: begin, spent: not-learned}}  # <- At the second try of 'begin' the vehicle still counts the first.
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right, fails: too-late}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.WARNING, harm=Harm.TIME)
def loop_skips_reset(flow: Flow, study: Study) -> Iterator[Result]:
    """Find timed parts that are begun again while nothing of the first try was undone."""
    for each in study.retries_without_reset:
        retry, window = each.retry, each.region.window
        yield Result(
            f"At the second try of '{retry.again}' the vehicle still counts the first.",
            at=flow.steps[retry.last].at,
            change="Write on the way back what ends the first try: the ignition off, the key out, a wait.",
            subject=window.name,
            notes=(Note(window.at, "This is the time within which it is to be done."),),
            trace=told(study.graph, study.way_of(retry)),
        )
