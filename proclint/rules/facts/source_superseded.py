"""A source that was replaced is not cited.

Whoever replaced a note had a reason: an error in it, mostly. A procedure that still rests on the old one keeps the error alive.

```yaml bad
# file sources.yaml
sources:
  - {id: note-1, kind: supplier-note, title: Note 1, date: 2019-05-01, superseded-by: note-2}
  - {id: note-2, kind: supplier-note, title: Note 2, date: 2020-05-01}
# file example.yaml
sources: [note-1]  # <- 'note-1' was replaced by 'note-2'.
```

```yaml good
# file sources.yaml
sources:
  - {id: note-1, kind: supplier-note, title: Note 1, date: 2019-05-01, superseded-by: note-2}
  - {id: note-2, kind: supplier-note, title: Note 2, date: 2020-05-01}
# file example.yaml
sources: [note-2]
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.WARNING, harm=Harm.TIME)
def source_superseded(library: LibraryStudy) -> Iterator[Result]:
    """Find cited sources in whose place another has come."""
    newer = {each.id: each.superseded_by for each in library.evidence.entries if each.superseded_by}
    for extract in library.extracts:
        for cited in extract.cites:
            if cited.text in newer:
                yield Result(
                    f"'{cited.text}' was replaced by '{newer[cited.text]}'.",
                    at=cited.at,
                    change=f"Look up '{newer[cited.text]}' and cite it.",
                    subject=cited.text,
                    because=extract.at,
                )
