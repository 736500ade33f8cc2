"""A line says one action in the catalogue's own words, and nothing more.

A line that says more than its action knows ("turn O1 on slowly") would lose the rest on its way to the reader. What the
catalogue has no word for is written with `act`.

```yaml bad
steps:
  turn-it: {do: turn O1 on slowly, then: all-right}  # <- 'slowly' is lost: the action has no such part.
```

```yaml good
steps:
  turn-it: {do: [turn O1 on, {do: act watch the dash lamps, by: technician}], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def unreadable_line(file: FileStudy) -> Iterator[Result]:
    """Tell which lines say more than their action knows."""
    for fault in file.faults:
        if fault.kind == "unreadable-line":
            pattern = f"Write it as '{fault.name}'." if fault.name else "Write one action, or begin with 'act'."
            yield Result(
                f"'{fault.found}' is lost: the action has no such part.",
                at=fault.at,
                change=pattern,
                subject=fault.found,
            )
