"""A movement to and fro that is repeated says where it ends.

'ON and OFF 4 times' ends at ON for one reader and at OFF for the other, and the next line begins at the wrong position for
one of them.

```yaml bad
steps:
  swing:
    instruction: Turn O1 on and off 4 times.  # <- Nothing says where 'on and off 4 times' ends.
    do: {do: [turn O1 on, turn O1 off], repeat: 4}
    then: all-right
```

```yaml good
steps:
  swing:
    instruction: Turn O1 on, then off, 4 times. End at off.
    do: {do: [turn O1 on, turn O1 off], repeat: 4}
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def repeat_end_state_unclear(_: Flow, study: Study) -> Iterator[Result]:
    """Find movements to and fro that end nobody knows where."""
    for slip in study.times.slips.of("no-end"):
        yield Result(
            f"Nothing says where '{slip.words}' ends.",
            at=slip.at,
            change="Write which movement comes first and where the last one ends, such as 'end at off'.",
            subject=slip.step,
        )
