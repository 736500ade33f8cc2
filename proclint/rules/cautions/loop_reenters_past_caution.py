"""What can hurt is warned of again at each retry.

The second try is when care drops: the first one failed, it is late, and the hand knows the way. A retry leads back to the step with the
caution, and not to the one behind it. For what cannot injure it is a note.

```yaml bad
start: {ignition: off, cylinder: O1, support: none}
steps:
  warn: {caution: [battery-gas-spark], do: look hood}
  clip: {caution: [support-overvoltage], do: connect-support 13.5 V, then: all-right, fails: clean}  # <- At the next try nobody is warned that batteries give off explosive gas.
fallbacks:
  clean: {tries: 1, do: {do: act clean the posts, by: technician}, ways: {done: clip, spent: as-it-was}}
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
start: {ignition: off, cylinder: O1, support: none}
steps:
  clip: {caution: [battery-gas-spark, support-overvoltage], do: connect-support 13.5 V, then: all-right, fails: clean}
fallbacks:
  clean: {tries: 1, do: {do: act clean the posts, by: technician}, ways: {done: clip, spent: as-it-was}}
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.cautions import as_clause, missing_cautions
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, Level.NOTE, harm=Harm.INJURY)
def loop_reenters_past_caution(flow: Flow, study: Study) -> Iterator[Result]:
    """Find retries that come back behind the caution."""
    for each in missing_cautions(study, "before a loop"):
        result = broken(
            each.finding,
            f"At the next try nobody is warned that {as_clause(each.hazard.hazard)}.",
            change=f"Move '{each.hazard.name}' to the step '{each.finding.station.of.name}', or lead the retry to the caution.",
            level=Level.WARNING if each.hazard.severity != "no-injury" else Level.NOTE,
        )
        shown = tuple(Note(word.at, "The caution stands here, where the retry does not pass.") for word in each.shown)
        yield result._replace(notes=(*result.notes, *shown))
