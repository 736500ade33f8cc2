"""Whoever does something that can hurt was warned of it, on every way there.

Most people know that a battery can explode and do not think of it at the moment of clipping on. The catalogue says which action can
hurt in which state, and what ends the danger; where nothing has ended it, its caution stands at the step. Where people may be hurt, or left
without a key, it is an error.

```yaml bad
start: {ignition: off, cylinder: O1, support: none}
steps:
  clip: {caution: [support-overvoltage], do: connect-support 13.5 V, then: all-right}  # <- Nobody is warned that batteries give off explosive gas.
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  clip: {caution: [battery-gas-spark, support-overvoltage], do: connect-support 13.5 V, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.cautions import as_clause, missing_cautions
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken

# Where a caution stands by its placing; any other stands at the step itself.
_WHERE = {"ask-first": "at a step before '{}' that has a way out", "job-start": "at one of the first steps, or at '{}'"}


@flow_rule(Level.ERROR, Level.WARNING, harm=Harm.LIFE)
def hazard_without_caution(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what is done while it can hurt, and has its caution nowhere before it."""
    for each in missing_cautions(study, "nowhere"):
        where = _WHERE.get(each.hazard.placing, "at the step '{}'").format(each.finding.station.of.name)
        yield broken(
            each.finding,
            f"Nobody is warned that {as_clause(each.hazard.hazard)}.",
            change=f"Write 'caution: [{each.hazard.name}]' {where}.",
            level=Level.ERROR if each.is_grave else Level.WARNING,
        )
