"""A sentence is short enough to be read at arm's length.

The place on the sheet is lost with every look at the vehicle. A command has at most 20 words and any other sentence 25 (ASD-STE100,
rules 5.1 and 6.3), a text at most 6 sentences (rule 6.6). While a window runs both hands are full: 12 words, by common practice.

```yaml bad
steps:
  turn-it:
    instruction: Now that the vehicle stands in a place where it can stay for a while longer you can turn O1 on at last.  # <- A sentence of 23 words is lost at arm's length.
    do: turn O1 on
    then: all-right
```

```yaml good
steps:
  turn-it:
    instruction: Turn O1 on.
    do: turn O1 on
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.READER)
def step_text_too_long(_: Flow, study: Study) -> Iterator[Result]:
    """Find sentences with too many words, and texts with too many sentences."""
    for each in study.words.long:
        what = f"{each.number} sentences are" if each.is_whole else f"A sentence of {each.number} words is"
        unit = "sentences" if each.is_whole else "words"
        yield Result(
            f"{what} lost at arm's length.",
            at=each.said.part(each.start, each.end),
            change="Make several of it, or leave out what is not done or seen.",
            why=f"At most {each.most} {unit} are read at a glance here.",
        )
