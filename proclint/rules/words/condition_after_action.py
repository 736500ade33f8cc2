"""The condition stands before what is done.

Who reads 'erase all, if the count is full' has pressed the button before he reads the second half. Rule 5.4 of ASD-STE100
puts the condition first, with a comma behind it.

```yaml bad
steps:
  press-it: {instruction: Press LOCK on O1 when the immobiliser lamp blinks., do: press O1 LOCK, then: all-right}  # <- It is done before its condition is read.
```

```yaml good
steps:
  press-it: {instruction: "When the immobiliser lamp blinks, press LOCK on O1.", do: press O1 LOCK, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def condition_after_action(_: Flow, study: Study) -> Iterator[Result]:
    """Find commands that end with their condition."""
    for each in study.words.conditions_behind:
        yield Result(
            "It is done before its condition is read.",
            at=each.said.part(each.start, each.end),
            change="Begin the sentence with the condition, with a comma behind it.",
            why=f"'{each.text}' ends with its condition.",
        )
