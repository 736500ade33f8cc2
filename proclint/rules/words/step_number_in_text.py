"""A way to another step is written as a way, not as a number in a sentence.

'Go back to step 6' is right until a step is put in before it. The way in the file moves with its step, and the checks follow it.

```yaml bad
steps:
  look-on: {instruction: Look at the hood. If it is open go to step 6., do: look hood, then: all-right}  # <- 'step 6' is another step after the next change.
```

```yaml good
steps:
  look-on: {instruction: Look at the hood., do: look hood, ways: {open: shut, closed: all-right}}
  shut: {do: close-hood, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.TIME)
def step_number_in_text(_: Flow, study: Study) -> Iterator[Result]:
    """Find steps that a text calls by their number."""
    for each in study.words.unclear("numbered"):
        yield Result(
            f"'{each.hit.text}' is another step after the next change.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
