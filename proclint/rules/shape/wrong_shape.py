"""Every field holds the kind of value that belongs there.

A list where one name belongs, a word where a number belongs: a reader may guess what was meant, a check cannot.

```yaml bad
steps:
  open: {do: check-part O1, tries: often, then: all-right, fails: not-open}  # <- 'tries' cannot be 'often'.
endings:
  all-right: {kind: success, tell: The session was open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  open: {do: check-part O1, tries: 2, then: all-right, fails: not-open}
endings:
  all-right: {kind: success, tell: The session was open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.model import Fault
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule

_LONGEST = 40


@file_rule(Level.ERROR, harm=Harm.READER, never_accepted=True)
def wrong_shape(file: FileStudy) -> Iterator[Result]:
    """Tell which fields hold what cannot stand there."""
    for fault in file.faults:
        if fault.kind == "wrong-shape":
            near = f"Write '{fault.suggestion}'." if fault.suggestion else f"Write {fault.expected}."
            yield Result(_said(fault), at=fault.at, change=near, subject=fault.name)


def _said(fault: Fault) -> str:
    if not fault.name:
        return "This is no file of the format."
    if not fault.found:
        return f"'{fault.name}' does not fit the format."
    short = fault.found if len(fault.found) <= _LONGEST else fault.found[:_LONGEST].rstrip() + "..."
    return f"'{fault.name}' cannot be '{' '.join(short.split())}'."
