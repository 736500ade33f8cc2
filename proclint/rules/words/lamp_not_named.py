"""A lamp is called by its name.

Five lamps blink in the dash of one vehicle, and the one that is meant is seldom the first that is seen.

```yaml bad
steps:
  see: {instruction: Watch the lamp., do: look immobiliser-lamp, then: all-right, fails: dark}  # <- 'the lamp' can be any lamp.
endings:
  all-right: {kind: success, tell: It works.}
  dark: {kind: as-found, tell: Nothing was seen.}
```

```yaml good
steps:
  see: {instruction: Watch the immobiliser lamp., do: look immobiliser-lamp, then: all-right, fails: dark}
endings:
  all-right: {kind: success, tell: It works.}
  dark: {kind: as-found, tell: Nothing was seen.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def lamp_not_named(_: Flow, study: Study) -> Iterator[Result]:
    """Find lamps without a name."""
    for each in study.words.unclear("lamps"):
        yield Result(
            f"'{each.hit.text}' can be any lamp.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
