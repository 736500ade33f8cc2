"""No word of an instruction has two readings.

The one who wrote 'cycle the key' knew what he meant. Of those who read it one turns the key on and off, one takes it out and
puts it in again, and one starts the engine; the vehicle counts all of it. The list of such words is the catalogue's.

```yaml bad
steps:
  wake: {instruction: Cycle the key., do: [turn O1 on, turn O1 off], then: all-right}  # <- 'Cycle the key' is read in more than one way.
```

```yaml good
steps:
  wake: {instruction: "Turn O1 on, then off.", do: [turn O1 on, turn O1 off], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def ambiguous_verb(_: Flow, study: Study) -> Iterator[Result]:
    """Find phrases with more than one reading."""
    for each in study.words.ambiguous:
        yield Result(
            f"'{each.hit.text}' is read in more than one way.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
