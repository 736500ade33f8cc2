"""How often something is tried stands in the text as in the field.

'2 more times' after the first is three in all. The one try too many is the one that locks the vehicle.

```yaml bad
steps:
  press-it: {tries: 2, instruction: "Press LOCK on O1, at most 3 tries.", do: press O1 LOCK, ways: {done: all-right, spent: given-up}}  # <- The text says '3 tries', and 'tries' lets it be 2.
endings:
  all-right: {kind: success, tell: It works.}
  given-up: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  press-it: {tries: 2, instruction: "Press LOCK on O1, at most 2 tries.", do: press O1 LOCK, ways: {done: all-right, spent: given-up}}
endings:
  all-right: {kind: success, tell: It works.}
  given-up: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def retry_limit_in_text_differs(_: Flow, study: Study) -> Iterator[Result]:
    """Find numbers of tries that differ between text and field."""
    for each in study.words.retries:
        if each.counted is not None and each.counted != each.told:
            yield Result(
                f"The text says '{each.hit.text}', and 'tries' lets it be {each.counted}.",
                at=each.hit.said.part(each.hit.start, each.hit.end),
                change="Write one number, that of all tries, or leave it to the tick boxes that 'tries' prints.",
                subject=each.hit.said.step.name if each.hit.said.step is not None else "",
            )
