"""What is to be kept pressed says for how long.

A second and five seconds are two different commands to the same vehicle. A two-button press is commonly held for about 1 s
(common practice, no source), but that is for the source to say and not for the reader to guess.

```yaml bad
steps:
  press-it: {do: {do: act keep the trip switch pressed, by: technician}, then: all-right}  # <- Nothing says how long 'keep the trip switch pressed' lasts.
```

```yaml good
steps:
  press-it: {do: {do: act keep the trip switch pressed for 2 to 4 s, by: technician, takes: 2-4 s}, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def hold_without_duration(_: Flow, study: Study) -> Iterator[Result]:
    """Find presses that are kept for no stated time."""
    for slip in study.times.slips.of("no-duration"):
        yield Result(
            f"Nothing says how long '{slip.words}' lasts.",
            at=slip.at,
            change="Write the least and the most time in the sentence, and 'takes:' or a 'keep' line beside it.",
            subject=slip.step,
        )
