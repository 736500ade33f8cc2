"""A lamp that goes dark is a sign where someone saw it lit.

The immobiliser lamp of another vehicle, or with a broken bulb, is dark all the time. Whoever waits for it to go out takes that for a key that
was learned, and the customer stands beside a dead vehicle the next day. So the lamp is looked at before, with the same key in. A change that
shows by itself needs no look before: one with its time, as 'goes dark for 3 s', one with what comes before or after, as 'blinks, then goes
out', and one at the turn to ON, where all lamps light for a moment. All of it is common practice, no source.

```yaml bad
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the immobiliser lamp goes out, within: 5 s, then: all-right, fails: not-learned}  # <- 'the immobiliser lamp goes out' tells nothing: nobody saw the lamp lit before.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
keys: {N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  see: {do: look immobiliser-lamp, ways: {off: no-lamp, solid: learn-it, slow-blink: learn-it, fast-blink: learn-it}}
  learn-it: {do: learn N1, expect: the immobiliser lamp goes out, within: 5 s, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
  no-lamp: {kind: referred, tell: The lamp does not light; nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import told


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def immobiliser_not_known_armed(_: Flow, study: Study) -> Iterator[Result]:
    """Find signs that hang on the immobiliser lamp's going dark where on some way nobody saw it lit."""
    for found in study.unseen_lamps:
        sign, node = found.sign, found.node
        own = study.graph.own(node.calls[0]) if node.calls else None
        yield Result(
            f"'{sign.words}' tells nothing: nobody saw the lamp lit before.",
            at=sign.at if own is None else own.at,
            change="Look at it first, with this key in ('look immobiliser-lamp'), or write how long it stays dark.",
            notes=() if own is None else (Note(sign.at, f"It is here, in the block that '{own.name}' follows."),),
            trace=told(study.graph, found.way),
            because=None if own is None else sign.at,
        )
