"""A caution stands close before what it warns of.

A caution that was read five steps ago is forgotten. The catalogue says of each hazard how close its caution has to stand: at the step itself,
or at most three steps before.

```yaml bad
start: {ignition: off, cylinder: O1, support: none}
steps:
  warn: {caution: [battery-gas-spark], do: look hood}
  see: {do: look battery, ways: {low: clip, otherwise: all-right, fails: all-right}}
  clip: {caution: [support-overvoltage], do: connect-support 13.5 V, then: all-right}  # <- The caution 'battery-gas-spark' is 2 steps old at 'connect-support 13.5 V'.
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  see: {do: look battery, ways: {low: clip, otherwise: all-right, fails: all-right}}
  clip: {caution: [battery-gas-spark, support-overvoltage], do: connect-support 13.5 V, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.cautions import distant_cautions
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import counted


@flow_rule(Level.NOTE, harm=Harm.INJURY)
def caution_too_far_ahead(flow: Flow, study: Study) -> Iterator[Result]:
    """Find cautions that are forgotten when they are needed."""
    for each in distant_cautions(study):
        yield Result(
            f"The caution '{each.hazard}' is {counted(each.steps, 'step', 'steps')} old at '{each.line.text}'.",
            at=each.line.at,
            change=f"Move '{each.hazard}' to the step that needs it.",
            subject=each.hazard,
            notes=(Note(each.shown.at, "The caution stands here."),),
        )
