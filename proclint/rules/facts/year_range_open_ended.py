"""A range of years ends with a model that somebody has seen.

"From 2014 on" takes in the next generation, which nobody had in hand when this was written. The last year is that of the newest vehicle
on which it was seen, and is put up when it is seen on a newer one.

```yaml bad
written: {by: m-07, date: 2026-03-02}
vehicles: [{make: Corvane, model: Halyard, years: 2013-2035, markets: [region-1], ignition-kind: keyed}]  # <- These years go on to 2035, and this was written in 2026.
```

```yaml good
written: {by: m-07, date: 2026-03-02}
vehicles: [{make: Corvane, model: Halyard, years: 2013-2026, markets: [region-1], ignition-kind: keyed}]
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure, fields
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule


@procedure_rule(Level.WARNING, harm=Harm.TIME)
def year_range_open_ended(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Find vehicles of model years that were not built when the file was written."""
    written = fields.number(procedure.written.date[:4])
    for vehicles in procedure.vehicles:
        last = vehicles.years[1]
        # A model year begins in the year before it.
        if written and last > written + 1:
            yield Result(
                f"These years go on to {last}, and this was written in {written}.",
                at=vehicles.at / "years",
                change="End with the newest model year on which it was seen.",
                why=f"Nobody had a vehicle of {last} in hand then.",
            )
