"""A window has a line that opens it.

'Within 10 s' of what? A time that nothing starts cannot be kept, and whoever tries it starts his watch where he thinks best.

```yaml bad
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: turn O1 on}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}  # <- Nothing opens 'press' before it is closed.
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
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
from proclint.analysis.time.marks import unopened
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def window_without_start_event(_: Flow, study: Study) -> Iterator[Result]:
    """Find the windows that are closed and never opened before."""
    for region, mark in unopened(study.written):
        name = region.window.name
        yield Result(
            f"Nothing opens '{name}' before it is closed.",
            at=mark.at,
            change=f"Write 'opens: {name}' at the line from which the time counts.",
            subject=name,
            notes=(Note(region.window.at, f"'{name}' is declared here."),),
        )
