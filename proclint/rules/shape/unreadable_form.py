"""A procedure is well-formed YAML, a facts table well-formed CSV.

One missing quotation mark or one space too few, and everything behind it means something else, or nothing. The place
named is where the reader lost the thread; what is wrong often stands on the line above. Of a quotation mark that is not
closed the place is where it opens.

```yaml bad
steps:
  open: {do: check-part O1, fails: not-open
  finish: {do: close-session, then: all-right}  # <- A bracket that was opened is not closed here.
```

```yaml bad
endings:
  all-right: {kind: success, tell: "It works}  # <- A text in quotes begins here, and ends lines below with more behind it.
  not-open: {kind: as-found, tell: "Nothing was changed."}
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
from proclint.results import Harm, Level, Note, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.READER, never_accepted=True)
def unreadable_form(file: FileStudy) -> Iterator[Result]:
    """Tell where a file stops being YAML, or a table CSV."""
    for trouble in file.troubles:
        if trouble.kind in ("syntax", "ragged-row"):
            ends = (Note(trouble.other, "The text in quotes ends here."),) if trouble.other else ()
            yield Result(trouble.message, at=trouble.at, change=trouble.change, notes=ends)
