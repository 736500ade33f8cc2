"""Every field is one that the format knows.

A mistyped `tires: 2` is no limit on tries. Nothing else in the file would tell: the loop looks bounded to whoever
wrote it, and is not.

```yaml bad
steps:
  open: {do: check-part O1, tires: 2, then: all-right, fails: not-open}  # <- The field 'tires' has no effect here.
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
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def unknown_field_name(file: FileStudy) -> Iterator[Result]:
    """Tell which fields the format does not know."""
    for fault in file.faults:
        if fault.kind == "unknown-field":
            near = f"Write '{fault.suggestion}'." if fault.suggestion else ""
            yield Result(
                f"The field '{fault.name}' has no effect here.",
                at=fault.at,
                change=near or f"Delete it, or use one of: {fault.expected}.",
                subject=fault.name,
            )
