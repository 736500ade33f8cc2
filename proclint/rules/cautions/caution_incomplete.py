"""A caution says what is dangerous, what can come of it and what to do about it.

"Caution! Be careful." is only a scare: the reader knows neither what to look at nor what to do. Each of the three parts says something of its
own, and the last is an order that can be carried out.

```yaml bad
steps:
  look-on: {caution: [hood], do: look hood, then: all-right}
cautions:
  hood:
    signal: warning
    hazard: The stay of the hood can slip.
    consequence: It can crush your hand.
    avoid: Be careful!  # <- The part 'avoid' of this caution tells the reader nothing.
```

```yaml good
steps:
  look-on: {caution: [hood], do: look hood, then: all-right}
cautions:
  hood:
    signal: warning
    hazard: The stay of the hood can slip.
    consequence: It can crush your hand.
    avoid: Push the stay home and pull at the hood once before you reach under it.
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.caution_words import incomplete
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule

_WHAT = {"hazard": "what is dangerous", "consequence": "what can come of it", "avoid": "what to do about it, as an order"}


@flow_rule(Level.WARNING, harm=Harm.INJURY)
def caution_incomplete(flow: Flow, study: Study) -> Iterator[Result]:
    """Find cautions of the file's own of which a part is empty words."""
    for caution, part in incomplete(flow, study.catalogue):
        yield Result(
            f"The part '{part}' of this caution tells the reader nothing.",
            at=caution.at / part,
            change=f"Write in '{part}' {_WHAT[part]}.",
            subject=caution.name,
        )
