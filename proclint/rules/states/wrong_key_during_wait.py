"""While the vehicle waits or learns, the key in the cylinder is the one that is meant.

The vehicle takes the key that is in when the wait ends or the learn begins, whatever the sheet says. With the original still in, ten
minutes or thirty are lost, and the old key is learned once more.

```yaml bad
steps:
  ready: {do: [plug tool, turn O1 on]}
  open: {do: open-session, fails: no-answer}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}  # <- 'learn N1' comes while 'cylinder' is O1.
fallbacks:
  no-answer: {do: [turn O1 off, unplug tool], then: as-it-was}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  as-it-was: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
steps:
  swap: {do: [remove O1, insert N1]}
  ready: {do: [plug tool, turn N1 on]}
  open: {do: open-session, fails: plug-again}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
fallbacks:
  plug-again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: open, spent: as-it-was}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  as-it-was: {kind: referred, tell: The vehicle does not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, comes_while, listed


@flow_rule(Level.ERROR, harm=Harm.TIME)
def wrong_key_during_wait(flow: Flow, study: Study) -> Iterator[Result]:
    """Find waits, learns and starts that meet another key in the cylinder, or none."""
    for found in study.states.of("wrong-key-during-wait"):
        yield broken(
            found,
            comes_while(found),
            change=f"Have {listed(found.demand.good)} in the cylinder on this way, swapped with the ignition off.",
        )
