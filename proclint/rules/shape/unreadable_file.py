"""A file is UTF-8 text of a size that a person could have written.

What is not text cannot be checked, and a check that passes over it in silence would look like one that found nothing.
A procedure is a few pages; a file of more than 1 MiB, or one that nests 64 deep, is something else.

```yaml bad
steps:
  open: {do: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[check-part O1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]}  # <- This is nested more than 64 deep.
```

```yaml good
steps:
  open: {do: [check-part O1], then: all-right, fails: not-open}
endings:
  all-right: {kind: success, tell: The session is open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.READER, never_accepted=True)
def unreadable_file(file: FileStudy) -> Iterator[Result]:
    """Tell what keeps a file from being read at all."""
    for trouble in file.troubles:
        if trouble.kind in ("bytes", "limit"):
            yield Result(trouble.message, at=trouble.at, change=trouble.change)
