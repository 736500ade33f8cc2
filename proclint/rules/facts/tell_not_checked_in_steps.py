"""Variants are told apart at the vehicle, by a step that looks.

What stands under `vehicles` is read at the desk. At the kerb only the steps are read: where none of them looks, the variant is guessed, and
a tool that is set to the wrong one stays silent or writes what does not belong there.

```yaml bad
vehicles:
  - make: Corvane
    model: Halyard
    years: 2013-2017
    markets: [region-1]
    ignition-kind: keyed
    variants: {A: ring plug with 2 pins, B: ring plug with 3 pins}  # <- No step looks which variant this is: 'A' or 'B'.
start: {ignition: off}
```

```yaml good
vehicles:
  - make: Corvane
    model: Halyard
    years: 2013-2017
    markets: [region-1]
    ignition-kind: keyed
    variants: {A: ring plug with 2 pins, B: ring plug with 3 pins}
start: {ignition: off}
steps:
  how-many: {do: count O}
  which-plug: {do: look variant, ways: {A: all-right, B: all-right, otherwise: neither}}
endings:
  all-right: {kind: success, tell: It works.}
  neither: {kind: as-found, tell: This sheet is not for this vehicle.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import quoted


@procedure_rule(Level.WARNING, harm=Harm.NO_KEY)
def tell_not_checked_in_steps(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Find vehicles with variants where neither the file nor a block that it follows looks which one it is."""
    for vehicles in procedure.vehicles:
        if vehicles.variants and not study.looks_at("variant"):
            told = next(iter(vehicles.variants.values()))
            yield Result(
                f"No step looks which variant this is: {quoted(vehicles.variants, 'or')}.",
                at=vehicles.at / "variants",
                change=f"Before the variant matters add a step with `do: look variant`, that says what to look for: '{told}'.",
            )
