"""A time runs from the least to the most.

A press that lasts at least 4 s and at most 2 s is a slip of the pen, but whoever reads it has to choose one of the two, and
every check on the time falls silent. The same holds for a window of which the shortest time is longer than the longest.

```yaml bad
steps:
  cool: {do: {do: act let the ring rest, by: technician, takes: 6-4 s}, then: all-right}  # <- Nothing lasts at least 6 s and at most 4 s.
```

```yaml good
steps:
  cool: {do: {do: act let the ring rest, by: technician, takes: 4-6 s}, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.model.ranges import in_words, put_right
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.TIME, never_accepted=True)
def timer_range_inverted(file: FileStudy) -> Iterator[Result]:
    """Tell which times run from more to less, in fields, lines and facts."""
    for fault in file.faults:
        in_line = put_right(fault.found) if fault.kind == "not-in-vocabulary" else ""
        if in_line or fault.kind == "time-inverted":
            better = in_line or fault.suggestion
            yield Result(
                f"Nothing lasts {in_words(fault.found) if in_line else fault.found}.",
                at=fault.at,
                change=f"Write '{better}'." if better else f"Write {fault.expected}.",
                subject=fault.found if in_line else fault.name,
            )
