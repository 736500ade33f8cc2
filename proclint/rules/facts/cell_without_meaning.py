"""Every cell of a facts table says something.

A number with a word behind it, a column that nobody knows, a row that stands twice: what the cell was meant to say is lost, and every
check that would have used it is silent. A field report says by whom it is and of which day.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4 keys  # <- 'key-cap' says '4 keys', and that means nothing.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import message_of


@library_rule(Level.ERROR, harm=Harm.TIME)
def cell_without_meaning(library: LibraryStudy) -> Iterator[Result]:
    """Find cells, columns and rows of facts tables that say nothing."""
    # What runs from more to less is told by rules of its own.
    for bad in (each for each in library.evidence.bad if each.why.kind != "wrong-way-round"):
        yield Result(
            message_of(bad),
            at=bad.at,
            change=f"Write '{bad.why.suggestion}'." if bad.why.suggestion else f"Write {bad.why.expected}.",
            subject=bad.column,
            notes=(Note(bad.other, "The same row stands here."),) if bad.other is not None else (),
            about=bad,
        )
