"""A window that is open is not opened again.

From the second opening on nobody can say which of the two the time counts from: the vehicle goes by one of them, and the
person perhaps by the other. It is closed, or given up by a way that fails, before it is opened anew.

```yaml bad
windows: {press: {at-most: 20 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  again: {do: [turn O1 off, {do: turn O1 on, opens: press}]}  # <- 'press' is still open when 'again' opens it.
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
windows: {press: {at-most: 20 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  again: {do: [turn O1 off, turn O1 on]}
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
from proclint.analysis.time.marks import reopened
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.ERROR, harm=Harm.TIME)
def window_opened_twice(_: Flow, study: Study) -> Iterator[Result]:
    """Find the openings of windows that are open."""
    for each in reopened(study.written):
        name = each.region.window.name
        yield Result(
            f"'{name}' is still open when '{each.step.name}' opens it.",
            at=each.mark.at,
            change=f"Close '{name}' before, or take one of the two openings out.",
            subject=name,
            notes=(Note(each.region.window.at, f"'{name}' is declared here."),),
            trace=told(study.graph, study.way_to(each.came_from)),
        )
