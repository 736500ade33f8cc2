"""A procedure is plain YAML: no anchors, aliases, tags or merge keys.

Whoever reads a step must see what is done there. A value that stands for another one, written elsewhere, is changed with
it and nobody sees it; a tag lets the reader decide what a word is, where the field does.

```yaml bad
steps:
  open: {do: &first check-part O1, fails: not-open}  # <- '&first' names this value for use elsewhere.
  again: {do: *first, fails: not-open, then: all-right}  # <- '*first' stands for a value that is written elsewhere.
```

```yaml good
steps:
  open: {do: check-part O1, fails: not-open}
  finish: {do: close-session, then: all-right}
endings:
  all-right: {kind: success, tell: The session was open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.READER, never_accepted=True)
def not_plain(file: FileStudy) -> Iterator[Result]:
    """Tell what stands for something else in a file."""
    for trouble in file.troubles:
        if trouble.kind in ("not-plain", "key-not-text"):
            yield Result(trouble.message, at=trouble.at, change=trouble.change)
