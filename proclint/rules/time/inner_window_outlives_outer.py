"""A window inside another ends before the other does.

Whoever takes all the time that the inner window gives is late for the outer one and does not notice: his eye is on the nearer
end. Where the steps fit, nothing is broken; whichever ends first is the one to keep, and a shorter inner window says so.

```yaml bad
windows:
  whole: {at-most: 30 s, late: too-late}
  press: {at-most: 28 s, late: too-late}  # <- 'press' may end after 'whole', inside which it lies.
steps:
  begin: {do: [{do: turn O1 on, opens: whole}, wait 4-5 s, {do: turn O1 off, opens: press}]}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: [press, whole]}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [make-sure ignition off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
windows:
  whole: {at-most: 30 s, late: too-late}
  press: {at-most: 12 s, late: too-late}
steps:
  begin: {do: [{do: turn O1 on, opens: whole}, wait 4-5 s, {do: turn O1 off, opens: press}]}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: [press, whole]}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [make-sure ignition off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.time.spoken import spoken
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.TIME)
def inner_window_outlives_outer(_: Flow, study: Study) -> Iterator[Result]:
    """Find the windows that may end after those in which they lie, though the steps fit."""
    for each in study.times.outlived:
        inner, outer = each.inner.window, each.outer.window
        yield Result(
            f"'{inner.name}' may end after '{outer.name}', inside which it lies.",
            at=inner.at,
            change=f"Shorten '{inner.name}', or tell the reader that whichever ends first counts.",
            why=f"The typical hand opens it {spoken(each.opened_after)} after '{outer.name}'; "
            f"all of it then reaches {spoken(each.over)} beyond.",
            subject=inner.name,
            notes=(Note(outer.at, f"'{outer.name}' is declared here."),),
        )
