"""A wait for vehicle or equipment has an end.

Whoever waits until the lamp goes out, with no word of how long that may take, sits there for forty minutes with the ignition
on. The time after which it has failed stands beside the sign.

```yaml bad
steps:
  rearm: {do: {do: wait-rearm, expect: the immobiliser lamp blinks slowly}, then: all-right, fails: not-armed}  # <- Nothing says after what time to stop waiting for 'wait-rearm'.
endings:
  all-right: {kind: success, tell: It works.}
  not-armed: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  rearm: {do: {do: wait-rearm, expect: the immobiliser lamp blinks slowly, within: 120 s}, then: all-right, fails: not-armed}
endings:
  all-right: {kind: success, tell: It works.}
  not-armed: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def vehicle_wait_without_limit(_: Flow, study: Study) -> Iterator[Result]:
    """Find waits for a sign that may never come."""
    for slip in study.times.slips.of("no-limit"):
        yield Result(
            f"Nothing says after what time to stop waiting for '{slip.words}'.",
            at=slip.at,
            change="Write 'expect:' with the sign and 'within:' with the time after which it has failed.",
            subject=slip.step,
        )
