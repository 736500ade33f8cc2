"""Every key that is handled is called by its name.

The vehicle registers the key that is in. 'Insert the key' is clear to the one who wrote it, with one key on his bench, and means
either of two to the one who stands there with both.

```yaml bad
steps:
  put-in: {instruction: Insert the key., do: insert N1, then: all-right}  # <- The text does not say which key.
keys: {N: {kind: key, registered: false, here: 2}}
start: {ignition: off, cylinder: empty}
```

```yaml good
steps:
  put-in: {instruction: Insert N1., do: insert N1, then: all-right}
keys: {N: {kind: key, registered: false, here: 2}}
start: {ignition: off, cylinder: empty}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def key_not_identified(_: Flow, study: Study) -> Iterator[Result]:
    """Find instructions that handle a key without naming any."""
    for said, mention in study.words.unnamed_keys:
        yield Result(
            "The text does not say which key.",
            at=said.part(mention.start, mention.end),
            change="Call the key by the name that it has in the line.",
            subject=said.step.name if said.step is not None else "",
        )
