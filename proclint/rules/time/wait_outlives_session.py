"""A wait is not longer than the tool stays awake.

The tool sleeps, the session is gone, and half an hour is lost in its twenty-ninth minute. Where a facts table says after what
time a session ends by itself (`session-timeout`), somebody taps the tool more often than that; and where a file has the tool
tapped now and then in one wait, every wait in a session that lasts longer has it tapped too.

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
from proclint.analysis.time.slips import Slip
from proclint.analysis.time.spoken import spoken
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def wait_outlives_session(_: Flow, study: Study) -> Iterator[Result]:
    """Find waits in a session during which nobody taps the tool often enough, where a table or the file says how often that is."""
    for slip in study.times.slips.of("times-out"):
        why = f"Nobody taps the tool for up to {spoken(slip.said)}; by the facts tables a session ends by itself after {spoken(slip.known)}."
        yield _result(
            slip, f"Write 'meanwhile: {{do: tap tool, every: ...}}' beside the wait, with less than {spoken(slip.known)}.", why
        )
    for slip in study.times.slips.of("sleeps"):
        why = f"It lasts {spoken(slip.said)} and more, and elsewhere the tool is tapped every {spoken(slip.known)}."
        yield _result(slip, f"Write 'meanwhile: {{do: tap tool, every: {spoken(slip.known)}}}' beside the wait.", why)


def _result(slip: Slip, change: str, why: str) -> Result:
    said = f"The session may end during '{slip.words}'."
    return Result(said, at=slip.at, change=change, why=why, subject=slip.step)
