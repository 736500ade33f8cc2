"""A sheet for hybrids warns of READY.

A hybrid or an electric vehicle in READY makes no sound. It moves, or its engine starts by itself, while somebody has an arm under the hood.
Every sheet that covers such vehicles says so, also where the hood stays shut.

```yaml bad
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start, high-voltage: [none, hybrid]}]  # <- Nothing warns that the hybrid may stand READY without a sound.
start: {ignition: off}
```

```yaml good
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start, high-voltage: [none, hybrid]}]
keys: {O: {kind: fob, registered: true, here: 1}}
start: {ignition: off}
steps: {how-many: {caution: [hybrid-silent-ready], do: count O, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule

_HAZARD = "hybrid-silent-ready"
_KINDS = frozenset({"hybrid", "electric"})


@procedure_rule(Level.ERROR, harm=Harm.LIFE)
def hybrid_ready_not_warned(flow: Procedure, study: Study) -> Iterator[Result]:
    """Find sheets for hybrid or electric vehicles without the caution of READY, in the file and in its blocks."""
    for vehicles in flow.vehicles:
        kinds = [kind for kind in vehicles.high_voltage if kind in _KINDS]
        if kinds and not study.warns_of(_HAZARD):
            yield Result(
                f"Nothing warns that the {kinds[0]} may stand READY without a sound.",
                at=vehicles.at / "high-voltage",
                change=f"Put `caution: [{_HAZARD}]` at the first step where anyone is near or under the vehicle.",
                why="In READY such a vehicle moves, and its engine starts, by itself.",
            )
