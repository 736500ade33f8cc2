"""A range of years or months runs from the first to the last.

From 2012 to 2009 there is no year: such a range covers no vehicle, or every one, as each reader likes. Whoever looks for his
vehicle finds nothing, and two ranges that contradict each other are not seen to overlap.

```yaml bad
vehicles: [{make: Corvane, model: Halyard, years: 2017-2013, markets: [region-1], ignition-kind: keyed}]  # <- There is no year in '2017-2013', so it covers no vehicle.
```

```yaml good
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed}]
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def year_range_malformed(file: FileStudy) -> Iterator[Result]:
    """Tell which ranges of years or months hold none."""
    for fault in file.faults:
        if fault.kind == "years-inverted":
            what = "month" if "/" in fault.found else "year"
            yield Result(
                f"There is no {what} in '{fault.found}', so it covers no vehicle.",
                at=fault.at,
                change=f"Write '{fault.suggestion}'.",
                subject=fault.name,
            )
