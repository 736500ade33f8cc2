"""Nobody comes into a timed part except through its beginning.

A retry that starts on the third of six timed lines starts after the clock was to be started: the window was never
opened, and the vehicle counts from something else. The way back leads to the line that opens the window.

```yaml bad
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right, fails: too-late}  # <- 'press' is never opened on the way into 'press-it'.
fallbacks:
  too-late: {tries: 1, do: wait 20 s, ways: {done: press-it, spent: not-learned}}
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


@flow_rule(Level.ERROR, harm=Harm.TIME)
def enters_open_window(flow: Flow, study: Study) -> Iterator[Result]:
    """Find ways into a timed part that have not passed its beginning since it was last left."""
    for entry in study.window_entries:
        window, node = entry.region.window, entry.node
        opener = next(iter(sorted(entry.region.openers)), "")
        yield Result(
            f"'{window.name}' is never opened on the way into '{node.name}'.",
            at=node.at,
            change=f"Lead this way to '{opener}', where '{window.name}' is opened.",
            subject=window.name,
            notes=(Note(entry.way[-1].at, "This way leads in."), Note(window.at, f"'{window.name}' is declared here.")),
            trace=told(study.graph, entry.way),
        )
