"""Whoever is late for a window is told where to go on.

People who miss a window carry on with the next line, and nothing that they do from there is learned. A window with a longest
time has a way for it: `late`, or `fails` of the step that closes it. The rules for timed steps in DOE-STD-1029-92 ask for the
same: they say what to do if the time cannot be met.

```yaml bad
windows: {press: 10 s}  # <- Nothing says where to go on when 'press' is missed.
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}
```

```yaml good
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.time.marks import without_late
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def no_way_when_late(_: Flow, study: Study) -> Iterator[Result]:
    """Find the windows with a longest time and no way for who is late."""
    for region, step in without_late(study.written):
        yield Result(
            f"Nothing says where to go on when '{region.window.name}' is missed.",
            at=region.window.at,
            change="Write 'late:' with the step that brings the vehicle back to where the window begins.",
            subject=region.window.name,
            notes=(Note(step.at, f"'{step.name}' closes it and has no 'fails:'."),),
        )
