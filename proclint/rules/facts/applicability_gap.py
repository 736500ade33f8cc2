"""Between two rows of a model no year is left out.

A year of which no row speaks is a vehicle of which nobody knows whether the sheet holds. It was forgotten, or the model was not sold: the
table says which.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2005-2008,4
Corvane,Halyard,2010-2013,4  # <- No row speaks of Corvane Halyard 2009.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2005-2009,4
Corvane,Halyard,2010-2013,4
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.gaps import holes
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.NOTE, harm=Harm.TIME)
def applicability_gap(library: LibraryStudy) -> Iterator[Result]:
    """Find model years between rows of a model that no row speaks of."""
    for hole in holes(library.evidence):
        yield Result(
            f"No row speaks of {hole.vehicles}.",
            at=hole.after.at(0),
            change="Add a row for it, or say `unknown` in one, so that it is known to be open.",
            why="Rows before and after it speak of the same model.",
            subject=hole.vehicles,
        )
