"""A wait is not longer than the tool stays awake.

The tool sleeps, the session is gone, and half an hour is lost in its twenty-ninth minute. Where a file has the tool tapped
now and then in one wait, every wait in a session that lasts longer has it tapped too.

```yaml bad
steps:
  first: {do: {do: wait-access O1, expect: the screen counts to zero, within: 20 s}, meanwhile: {do: tap tool, every: 4 min}, fails: all-right}
  second: {do: {do: wait-access O1, expect: the screen counts to zero, within: 20 s}, then: all-right, fails: all-right}  # <- The session may end during 'wait-access O1'.
```

```yaml good
steps:
  open: {do: [plug tool, turn O1 on, {do: open-session, expect: the key menu opens, within: 30 s}], fails: leave}
  first:
    caution: [wait-interrupted, battery-drain]
    do: {do: wait-access O1, expect: the screen counts to zero, within: 20 s}
    meanwhile: {do: tap tool, every: 4 min}
    fails: leave
  second:
    caution: [wait-interrupted, battery-drain]
    do: {do: wait-access O1, expect: the screen counts to zero, within: 20 s}
    meanwhile: {do: tap tool, every: 4 min}
    fails: leave
  leave: {do: [make-sure session none, make-sure ignition off, unplug tool], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.time.spoken import spoken
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def wait_outlives_session(_: Flow, study: Study) -> Iterator[Result]:
    """Find waits in a session during which nobody taps the tool, in files that say how often it must be tapped."""
    for slip in study.times.slips.of("sleeps"):
        yield Result(
            f"The session may end during '{slip.words}'.",
            at=slip.at,
            change=f"Write 'meanwhile: {{do: tap tool, every: {spoken(slip.known)}}}' beside the wait.",
            why=f"It lasts {spoken(slip.said)} and more, and elsewhere the tool is tapped every {spoken(slip.known)}.",
            subject=slip.step,
        )
