"""A wait inside a window is shorter than the window.

A wait that may last as long as the window in which it stands leaves no time for anything else: whoever keeps the one breaks
the other. Nobody can make that good by being quick.

```yaml bad
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  rest: {do: wait 8-12 s}  # <- 'wait 8-12 s' alone can last as long as 'press'.
  press-it: {do: {do: keep O1 LOCK 1-2 s, closes: press}, then: all-right}
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
  rest: {do: wait 3-5 s}
  press-it: {do: {do: keep O1 LOCK 1-2 s, closes: press}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
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


@flow_rule(Level.ERROR, harm=Harm.TIME)
def wait_exceeds_window(_: Flow, study: Study) -> Iterator[Result]:
    """Find the waits that may last as long as a window in which they stand."""
    for window, wait in study.times.outwaited:
        declared = window.region.window
        yield Result(
            f"'{wait.words}' alone can last as long as '{window.name}'.",
            at=wait.at or declared.at,
            change=f"Shorten the wait, or make '{window.name}' longer if its source allows.",
            why=f"It lasts up to {spoken(wait.length.most)}, and '{window.name}' ends after {spoken(declared.at_most or 0)}.",
            subject=window.name,
            notes=(Note(declared.at, f"'{window.name}' is declared here."),),
        )
