"""After the last learn or erase the number of keys is read back.

The tool's "learned" is what the tool believes. The number that the vehicle itself gives is the one proof that a key was added and that an erased
one is gone, the one that is not here above all.

```yaml bad
keys: {N: {kind: key, registered: false, here: 1}}
slots: {key: 5}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen says LEARNED, then: all-right, fails: not-sure}
endings:
  all-right: {kind: success, tell: The new key is learned.}  # <- Nobody reads how many keys the vehicle now knows.
  not-sure: {kind: not-as-found, tell: The new key may not be learned.}
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
slots: {key: 5}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen says LEARNED, fails: not-sure}
  count-them: {do: read key as n, ways: {n = 1: all-right, otherwise: not-sure, fails: not-sure}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-sure: {kind: not-as-found, tell: The new key may not be learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.WARNING, harm=Harm.NO_KEY)
def key_count_not_read_back(_: Procedure, study: Study) -> Iterator[Result]:
    """Find successes behind a learn or an erase after which no number was read."""
    for found in study.states.of("key-count-not-read-back"):
        kind = found.demand.variable.rpartition(".")[0]
        yield broken(
            found,
            f"Nobody reads how many {kind}s the vehicle now knows.",
            change=f"Write 'read {kind} as' and a name behind the last change, with a way for each number.",
        )
