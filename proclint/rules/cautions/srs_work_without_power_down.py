"""Nothing near an air bag is taken off while the air bag has power.

An air bag that fires hits the face before anyone has moved. Its power is down only some time after the 12 V is off: how long says the maker,
and the wait is part of the procedure. Nobody can accept this away.

```yaml bad
steps:
  cowl: {caution: [srs-deployment, cylinder-force, sharp-trim], do: remove-trim column-cowl, then: all-right}  # <- The air bag still has power at 'remove-trim column-cowl'.
```

```yaml good
steps:
  take-out: {do: remove O1}
  power: {caution: [battery-gas-spark, alarm-siren, keys-left-inside], do: disconnect-12v 600 s}
  cowl: {caution: [srs-deployment, cylinder-force, sharp-trim], do: remove-trim column-cowl, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.LIFE, never_accepted=True)
def srs_work_without_power_down(flow: Flow, study: Study) -> Iterator[Result]:
    """Find work near an air bag that has, or may have, power."""
    for found in study.states.of("srs-work-without-power-down"):
        is_sure = "still has" if found.grade == "must" else "may still have"
        yield broken(
            found,
            f"The air bag {is_sure} power at '{found.demand.text}'.",
            change="Write 'disconnect-12v', with the wait that the maker asks for, before it on every way.",
        )
