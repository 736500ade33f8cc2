"""An action says all that its kind of action needs: which key, which position, how long.

What is left out is what the next reader gets wrong: a switch without its name, a wait without its length.

```yaml bad
steps:
  turn-it: {do: turn O1, then: all-right}  # <- 'turn O1' leaves out what the reader must know.
```

```yaml good
steps:
  turn-it: {do: turn O1 on, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def action_without_parameters(file: FileStudy) -> Iterator[Result]:
    """Tell which actions are not whole."""
    for fault in file.faults:
        if fault.kind == "missing-parameter":
            yield Result(
                f"'{fault.found}' leaves out what the reader must know.",
                at=fault.at,
                change=f"Write '{fault.name}'." if fault.name else f"Add {fault.expected}.",
                why=f"Here belongs {fault.expected}." if fault.expected else "",
                subject=fault.found,
            )
