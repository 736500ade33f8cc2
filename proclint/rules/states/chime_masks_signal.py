"""A tone is waited for where no other chime can sound.

The vehicle says by one tone that it has learned. The belt is open, so that it chimes anyway, and what is taken for the answer is none. Belt and
driver's door are seen to before, or a lamp is the sign. That a belt chimes at ON, and a door with the key in, is common practice, no source.

```yaml bad
start: {ignition: on, cylinder: O1, door-driver: closed}
steps:
  learn-it: {do: {do: learn N1, by: vehicle, expect: two tones, within: 5 s}, then: all-right, fails: not-learned}  # <- While 'learn N1' waits for a tone, a chime may sound.
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: referred, tell: It was not learned.}
```

```yaml good
start: {ignition: on, cylinder: O1, door-driver: closed}
steps:
  belt: {do: fasten-belt}
  learn-it: {do: {do: learn N1, by: vehicle, expect: two tones, within: 5 s}, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: referred, tell: It was not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.TIME)
def chime_masks_signal(_: Flow, study: Study) -> Iterator[Result]:
    """Find lines that wait for a tone while the belt is open or, with a key in, the driver's door."""
    for found in study.states.of("chime-masks-signal"):
        message = f"While '{found.demand.text}' waits for a tone, a chime may sound."
        mend = "fasten-belt" if found.demand.subject == "belt-driver" else "make-sure door-driver closed"
        yield broken(found, message, change=f"Write '{mend}' on the way to it, or expect a lamp or the screen besides.")
