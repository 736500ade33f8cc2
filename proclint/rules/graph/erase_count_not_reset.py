"""A number that was read before an erase is not reckoned with behind it.

After the erase the list is empty, whatever was read before. Whoever goes on with the old number believes the list to be full where it is
not, and writes a wrong number into the log. So the number is read again, or begins with 0.

```yaml bad
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  before: {do: read key as n, ways: {n >= 4: clear, otherwise: learn-it, fails: not-learned}}
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: not-learned}
  learn-it: {do: learn N1, expect: the screen shows STORED, fails: not-learned}
  after: {do: read key as m, ways: {m = n + 1: all-right, otherwise: not-learned, fails: not-learned}}  # <- 'n' was read before 'erase keys'.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  before: {do: read key as n, ways: {n >= 4: clear, otherwise: not-full, fails: not-full}}
  clear: {do: erase keys, expect: the screen shows KEYS 0, fails: not-learned}
  learn-it: {do: learn N1, expect: the screen shows STORED, fails: not-learned}
  after: {do: read key as m, ways: {m = 1: all-right, otherwise: not-learned, fails: not-learned}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  not-full: {kind: as-found, tell: The list is not full; the key is added by the other procedure.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.ERROR, harm=Harm.TIME)
def erase_count_not_reset(_: Flow, study: Study) -> Iterator[Result]:
    """Find ways that reckon with a number from before an erase of all that it counts."""
    for found in study.old_counts:
        yield Result(
            f"'{found.name}' was read before '{found.erase.text}'.",
            at=found.asks.at,
            change=f"Reckon from 0, or read '{found.name}' again behind the erase.",
            subject=found.name,
            notes=(Note(found.erase.at, "From here on the list is empty."),),
            trace=told(study.graph, found.way),
        )
