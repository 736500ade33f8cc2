"""Few cautions stand at one step.

Nine boxes before the first step are read by nobody, and the one that counts is among them. More than three at one step are too many: what
holds for the whole job stands at its beginning, and the rest with the lines that need it.

```yaml bad
steps:
  begin:  # <- 4 cautions stand before this step, and nobody reads so many.
    caution: [roadside-traffic, alone-at-site, hot-parts, sharp-trim]
    do: look hood
    then: all-right
```

```yaml good
steps:
  begin: {caution: [roadside-traffic, alone-at-site], do: look traffic}
  look-on: {caution: [hot-parts, sharp-trim], do: look hood, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.INJURY)
def caution_overload(flow: Flow, study: Study) -> Iterator[Result]:
    """Find steps with more cautions than are read."""
    for step in flow.steps.values():
        if len(step.cautions) > study.catalogue.speech.cautions.most:
            yield Result(
                f"{len(step.cautions)} cautions stand before this step, and nobody reads so many.",
                at=step.at,
                change="Divide the step, or move what holds for the whole job to its beginning.",
                subject=step.name,
            )
