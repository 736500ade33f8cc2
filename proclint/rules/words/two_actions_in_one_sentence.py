"""A sentence asks for one thing.

The eye that comes back from the vehicle looks for the place where it left. Of two commands in one sentence it finds the first
again, and does it twice, or the last, and leaves one out. Rule 5.2 of ASD-STE100 asks for one instruction a sentence, but for
those that are done at the same time.

```yaml bad
steps:
  swap: {instruction: Turn O1 off and take O1 out., do: [turn O1 off, remove O1], then: all-right}  # <- One sentence asks for 2 things.
start: {ignition: on, cylinder: O1}
```

```yaml good
steps:
  swap: {instruction: Turn O1 off. Take O1 out., do: [turn O1 off, remove O1], then: all-right}
start: {ignition: on, cylinder: O1}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.READER)
def two_actions_in_one_sentence(_: Flow, study: Study) -> Iterator[Result]:
    """Find sentences that ask for several things, one after the other."""
    for each in study.words.crowded:
        yield Result(
            f"One sentence asks for {each.number} things.",
            at=each.said.part(each.start, each.end),
            change="Make a sentence of each.",
            why=f"'{each.text}' begins with one and goes on with another.",
        )
