"""A caution is read before what it warns of.

A caution one step too late is read with the hand already where it should not be. It has to stand at the step that can hurt, or before it on
every way.

```yaml bad
start: {ignition: off, cylinder: O1, support: none}
steps:
  clip: {caution: [support-overvoltage], do: connect-support 13.5 V}  # <- Nobody is warned in time that batteries give off explosive gas.
  look-on: {caution: [battery-gas-spark], do: look hood, then: all-right}
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  clip: {caution: [support-overvoltage, battery-gas-spark], do: connect-support 13.5 V}
  look-on: {do: look hood, then: all-right}
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
def caution_after_hazard(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what can hurt and has its caution only behind it."""
    for each in missing_cautions(study, "behind"):
        result = broken(
            each.finding,
            f"Nobody is warned in time that {as_clause(each.hazard.hazard)}.",
            change=f"Move '{each.hazard.name}' to the step '{each.finding.station.of.name}'.",
            level=Level.ERROR if each.is_grave else Level.WARNING,
        )
        shown = tuple(Note(word.at, "The caution stands here.") for word in each.shown)
        yield result._replace(notes=(*result.notes, *shown))
