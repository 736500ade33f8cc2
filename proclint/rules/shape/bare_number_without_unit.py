"""Times, voltages and frequencies carry their unit.

"Wait 10" is ten seconds to one reader and ten minutes to the next. A number and its unit stand together, with a space:
`10 min`, `2-4 s`, `12.3 V`, `433.92 MHz`.

```yaml bad
steps:
  rest: {do: act let the engine cool, by: technician, takes: 10, then: all-right}  # <- '10' could be seconds or minutes.
```

```yaml good
steps:
  rest: {do: act let the engine cool, by: technician, takes: 10-15 min, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.TIME, never_accepted=True)
def bare_number_without_unit(file: FileStudy) -> Iterator[Result]:
    """Tell which numbers have no unit."""
    for fault in file.faults:
        if fault.kind == "no-unit":
            yield Result(
                f"'{fault.found}' could be seconds or minutes." if "time" in fault.expected else f"'{fault.found}' has no unit.",
                at=fault.at,
                change=f"Write {fault.expected}.",
                subject=fault.name,
            )
