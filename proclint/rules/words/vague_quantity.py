"""A quantity has a number and a unit.

'Good' is no voltage and 'a moment' no time. Whoever has done it a hundred times knows how long it is; the one who reads it
at the vehicle for the first time does not.

```yaml bad
steps:
  rest: {instruction: Wait a while., do: wait 20-30 s, then: all-right}  # <- Nobody can tell how much 'a while' is.
```

```yaml good
steps:
  rest: {instruction: Wait 20 to 30 s., do: wait 20-30 s, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def vague_quantity(_: Flow, study: Study) -> Iterator[Result]:
    """Find quantities that are none."""
    for each in study.words.unclear("vague"):
        yield Result(
            f"Nobody can tell how much '{each.hit.text}' is.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
