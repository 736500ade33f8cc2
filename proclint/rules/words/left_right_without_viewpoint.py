"""A side is the driver's or the passenger's.

Left of the vehicle is right for whoever stands before it, and in the next market the driver sits on the other side.

```yaml bad
steps:
  door: {instruction: Open the left front door., do: open door-driver, then: all-right}  # <- 'left front door' is another side for whoever stands elsewhere.
```

```yaml good
steps:
  door: {instruction: Open the driver's door., do: open door-driver, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def left_right_without_viewpoint(_: Flow, study: Study) -> Iterator[Result]:
    """Find left and right without a viewpoint."""
    for each in study.words.unclear("sides"):
        yield Result(
            f"'{each.hit.text}' is another side for whoever stands elsewhere.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
