"""One chip alone is at the cylinder while the vehicle reads a key.

Two keys on one ring bring two chips to the same antenna. Both answer at once and none is read, and a good part is sent back. The others come
off the ring first and lie 15 cm away. Which keys hang together no place of a key says, so this is found in the words of the steps.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, cut: true}}
start: {ignition: off, cylinder: empty, tool: plugged}
steps:
  ready: {instruction: Insert N1 and keep O1 on the ring with it., do: insert N1}  # <- 'on the ring' leaves two chips at the cylinder at 'turn N1 on'.
  switch-on: {do: [turn N1 on, open-session], fails: as-it-was}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  as-it-was: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, cut: true}}
start: {ignition: off, cylinder: empty, tool: plugged}
steps:
  apart: {instruction: Take O1 off the ring with N1. Lay O1 aside., do: put O1 aside}
  ready: {do: [insert N1, turn N1 on]}
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
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.WARNING, harm=Harm.TIME)
def other_transponder_near(_: Flow, study: Study) -> Iterator[Result]:
    """Find words that leave keys on one ring until the vehicle reads one of them."""
    for found in study.read_together:
        ring = found.ring
        yield Result(
            f"'{ring.said.text[ring.start : ring.end]}' leaves two chips at the cylinder at '{found.line.text}'.",
            at=ring.said.part(ring.start, ring.end),
            change="Take the keys apart first, and lay the others 15 cm away, as in 'put O1 aside'.",
            notes=(Note(found.line.at, "Here the vehicle reads the chip of the key that is in."),),
            trace=told(study.graph, found.way),
        )
