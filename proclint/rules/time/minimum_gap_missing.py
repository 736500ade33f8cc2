"""Several presses say how far apart they are.

Presses that follow too quickly are one press to the vehicle, and those that follow too slowly begin anew. From three on the
pace is written: `each` for how long one takes, or `takes` for all of them.

```yaml bad
steps:
  press-it: {do: press trip 5 times, then: all-right}  # <- Nothing says how quickly 'press trip 5 times' goes.
```

```yaml good
steps:
  press-it: {do: {do: press trip 5 times, takes: 3-4-6 s}, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.TIME)
def minimum_gap_missing(_: Flow, study: Study) -> Iterator[Result]:
    """Find rows of presses without a pace."""
    for slip in study.times.slips.of("no-rhythm"):
        yield Result(
            f"Nothing says how quickly '{slip.words}' goes.",
            at=slip.at,
            change="Write 'takes:' with the time for all of them, or 'each' with that of one.",
            subject=slip.step,
        )
