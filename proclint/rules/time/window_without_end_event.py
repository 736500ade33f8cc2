"""A window has a line that closes it, and what must come within a time is named.

What must be done by then: the press begun, the press released, the answer heard? They lie seconds apart. A window that nothing
closes bounds nothing, and `within` without a sign tells nobody what to look for.

```yaml bad
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}  # <- Nothing closes 'press' after it was opened.
  press-it: {do: keep O1 LOCK 2-4 s, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml bad
steps:
  begin: {do: {do: turn O1 on, within: 5 s}, then: all-right}  # <- Nothing says what must be seen within 5 s.
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
from proclint.analysis.time.marks import unclosed
from proclint.analysis.time.spoken import spoken
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def window_without_end_event(_: Flow, study: Study) -> Iterator[Result]:
    """Find the windows that are opened and never closed afterwards, and the times to a sign that is not named."""
    for region, mark in unclosed(study.written):
        name = region.window.name
        yield Result(
            f"Nothing closes '{name}' after it was opened.",
            at=mark.at,
            change=f"Write 'closes: {name}' at the line that must be done by then.",
            subject=name,
            notes=(Note(region.window.at, f"'{name}' is declared here."),),
        )
    for slip in study.times.slips.of("no-sign"):
        yield Result(
            f"Nothing says what must be seen within {spoken(slip.said)}.",
            at=slip.at,
            change="Write 'expect:' with what is seen, heard or read when it worked.",
            subject=slip.step,
        )
