"""Actions, positions, places and values come from the shared list of words.

One word, one meaning: where one file says `run` and another `on`, a reader has to guess, and every check on what
happens to the ignition goes blind.

```yaml bad
steps:
  turn-it: {do: turn O1 run, then: all-right}  # <- Nobody can tell what 'run' means here.
```

```yaml good
steps:
  turn-it: {do: turn O1 on, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.model.ranges import put_right
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def value_not_in_vocabulary(file: FileStudy) -> Iterator[Result]:
    """Tell which words are not in the catalogue."""
    for fault in file.faults:
        # A time that runs backwards is another rule's.
        if fault.kind == "not-in-vocabulary" and not put_right(fault.found):
            near = f"Write '{fault.suggestion}'." if fault.suggestion else ""
            yield Result(
                f"Nobody can tell what '{fault.found or fault.name}' means here.",
                at=fault.at,
                change=near or f"Write {fault.expected}.",
                why=f"Here may stand {fault.expected}." if near and fault.expected else "",
                subject=fault.found or fault.name,
            )
