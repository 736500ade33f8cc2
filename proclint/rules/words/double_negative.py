"""Nothing is said by two words that say no.

'Do not go on unless it is not lit' takes a moment to turn round at a desk, and is turned the wrong way at a vehicle.

```yaml bad
steps:
  see: {instruction: Do not go on unless the immobiliser lamp is not lit., do: wait 5 s, then: all-right}  # <- Two words say no here, and one is overlooked.
```

```yaml good
steps:
  see: {instruction: Go on with a dark immobiliser lamp only., do: wait 5 s, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.READER)
def double_negative(_: Flow, study: Study) -> Iterator[Result]:
    """Find clauses with two words that say no."""
    for each in study.words.doubled:
        yield Result(
            "Two words say no here, and one is overlooked.",
            at=each.said.part(each.start, each.end),
            change="Say what is to be done, or what is seen, without 'not'.",
            why=f"'{each.text}' has {each.number} of them.",
        )
