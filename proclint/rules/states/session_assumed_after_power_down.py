"""A session that the ignition or the plug has ended is opened again.

Most sessions end when the ignition goes off, and all end with the plug. A swap of keys in between is enough: the next write fails, and what
looks like a bad key was only a session that was gone.

```yaml bad
steps:
  ready: {do: [plug tool, turn O1 on]}
  open: {do: open-session, fails: plug-again}
  swap: {do: [turn O1 off, remove O1, insert N1, turn N1 on]}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}  # <- 'learn N1' comes while 'session' is none.
fallbacks:
  plug-again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: open, spent: not-learned}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
steps:
  swap: {do: [remove O1, insert N1]}
  ready: {do: [plug tool, turn N1 on]}
  open: {do: open-session, fails: plug-again}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
fallbacks:
  plug-again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: open, spent: not-learned}}
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
from proclint.telling import broken, comes_while


@flow_rule(Level.ERROR, harm=Harm.TIME)
def session_assumed_after_power_down(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that count on a session that is, or may be, no longer open."""
    for found in study.states.of("session-assumed-after-power-down"):
        yield broken(found, comes_while(found), change="Open the session again on this way before it.")
