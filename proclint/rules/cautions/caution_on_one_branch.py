"""A caution stands on every way to what it warns of.

The branch without the caution is the one that reviewers do not read: the way of the fallback, the way for the other gearbox. Where branches
have come together again it has to stand behind that point, or on each of them.

```yaml bad
start: {ignition: off, cylinder: O1, support: none}
steps:
  how-low: {do: look battery, ways: {low: warn, otherwise: clip, fails: clip}}
  warn: {caution: [battery-gas-spark], do: open-hood}
  clip: {caution: [support-overvoltage], do: connect-support 13.5 V, then: all-right}  # <- On one way nobody is warned that batteries give off explosive gas.
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  how-low: {do: look battery, ways: {low: warn, otherwise: clip, fails: clip}}
  warn: {do: look hood}
  clip: {caution: [battery-gas-spark, support-overvoltage], do: connect-support 13.5 V, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.cautions import as_clause, missing_cautions
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, Level.WARNING, harm=Harm.LIFE)
def caution_on_one_branch(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what can hurt and has its caution on some other way to it."""
    for each in missing_cautions(study, "on another branch"):
        result = broken(
            each.finding,
            f"On one way nobody is warned that {as_clause(each.hazard.hazard)}.",
            change=f"Write '{each.hazard.name}' at the step '{each.finding.station.of.name}', where all ways pass.",
            level=Level.ERROR if each.is_grave else Level.WARNING,
        )
        shown = tuple(Note(word.at, "The caution stands here, on another way.") for word in each.shown)
        yield result._replace(notes=(*result.notes, *shown))
