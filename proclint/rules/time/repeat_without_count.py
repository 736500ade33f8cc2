"""What is done again and again says how often.

On many vehicles the number of movements chooses what is set; one more is another command. And whoever is told to repeat until
it works goes on until something breaks. DOE-STD-1029-92 asks the same of repeated steps: the reader is told when to stop.

```yaml bad
steps:
  press-it: {instruction: Press the trip switch repeatedly., do: press trip, then: all-right}  # <- Nothing says how often 'repeatedly' is.
```

```yaml good
steps:
  press-it: {instruction: Press the trip switch 2 times., do: press trip 2 times, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.TIME)
def repeat_without_count(_: Flow, study: Study) -> Iterator[Result]:
    """Find movements that are done again and again with no number."""
    for slip in study.times.slips.of("no-count"):
        yield Result(
            f"Nothing says how often '{slip.words}' is.",
            at=slip.at,
            change="Write the number of times in the sentence and in the line.",
            subject=slip.step,
        )
