"""A key that may be learned already is not learned again before the count is read.

A learn that failed late has often been made. Some vehicles then give the same key a second place, and the count no longer says how many keys
there are. The count tells whether it was made.

```yaml bad
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: once-more}  # <- 'learn N1' may take a second place.
fallbacks:
  once-more: {tries: 1, do: wait 30 s, ways: {done: learn-it, spent: not-learned}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  before: {do: read key as n, fails: not-learned}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: recount}
fallbacks:
  recount: {tries: 1, do: read key as m, ways: {m = n: rest, otherwise: not-learned, fails: not-learned}}
  rest: {do: wait 30 s, then: learn-it}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.TIME)
def duplicate_learn_of_same_key(flow: Flow, study: Study) -> Iterator[Result]:
    """Find learns of a key that may be registered already, where the count was not read since."""
    for found in study.states.of("duplicate-learn-of-same-key"):
        yield broken(
            found,
            f"'{found.demand.text}' may take a second place.",
            change="Read the count before it, and learn again only if it has not grown.",
        )
