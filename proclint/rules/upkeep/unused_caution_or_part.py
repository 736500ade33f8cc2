"""What a file declares, it uses: windows, cautions, groups of keys and their slots.

A window that no line opens bounds nothing, and a caution that stands at no step is never read. Either it is left over
from an edit, or the step it belonged to was lost, and then the step is what is missing.

```yaml bad
windows: {press: 12 s}  # <- Nothing in this file uses the window 'press'.
```

```yaml good
windows: {press: {at-most: 12 s, late: not-learned}}
steps:
  turn-it: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.usage import unused
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.TIME)
def unused_caution_or_part(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what is declared and used nowhere."""
    for what, name, place in unused(flow):
        yield Result(
            f"Nothing in this file uses the {what} '{name}'.",
            at=place,
            change="Delete it, or restore the step that used it.",
            subject=name,
        )
