"""A time that the vehicle decides ends with a sign and not with the clock.

Ten minutes on the technician's watch are not ten minutes in the control unit: a wait that was broken begins anew, and whoever
goes on by the clock learns a key that the vehicle is not ready for. What shows that it is over is written with the line, and
the line belongs to who decides.

```yaml bad
steps:
  rearm: {do: wait-rearm, then: all-right, fails: not-armed}  # <- Nothing shows when 'wait-rearm' is over.
endings:
  all-right: {kind: success, tell: It works.}
  not-armed: {kind: as-found, tell: Nothing was changed.}
```

```yaml bad
steps:
  open: {do: {do: wait-lockout, by: technician, expect: the lamp stays dark, within: 60 s}, then: all-right, fails: all-right}  # <- The technician does not decide how long 'wait-lockout' takes.
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


@flow_rule(Level.WARNING, harm=Harm.TIME)
def duration_owner_wrong(_: Flow, study: Study) -> Iterator[Result]:
    """Find waits that end by the clock, and times of vehicle or equipment that are written as the technician's."""
    for slip in study.times.slips.of("nothing-shows"):
        yield Result(
            f"Nothing shows when '{slip.words}' is over.",
            at=slip.at,
            change="Write 'expect:' with what is seen when it is over, and 'within:' with the time after which it has failed.",
            subject=slip.step,
        )
    for slip in study.times.slips.of("not-his-time"):
        yield Result(
            f"The technician does not decide how long '{slip.words}' takes.",
            at=slip.at,
            change="Leave 'by:' out, or name vehicle or equipment.",
            subject=slip.step,
        )
