"""A key is called by its name, not 'it' or 'the other'.

Where two keys lie on the seat, 'insert the other' is a throw of the dice, and the vehicle registers the one that is in.

```yaml bad
steps:
  swap:
    instruction: Take O1 out and insert the other key.  # <- 'the other key' can be another key than the one that is meant.
    do: [remove O1, insert N1]
    then: all-right
```

```yaml good
steps:
  swap:
    instruction: Take O1 out. Insert N1.
    do: [remove O1, insert N1]
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def pronoun_for_key(_: Flow, study: Study) -> Iterator[Result]:
    """Find pronouns for keys where several keys are about."""
    for each in study.words.pronouns:
        yield Result(
            f"'{each.hit.text}' can be another key than the one that is meant.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
