"""Two rows of one table that meet say the same.

A technician who finds the vehicle in two rows picks one. Where both rows are right, something tells the vehicles apart: years, a month of
building, a market, a variant with a tell.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,markets,key-cap
Corvane,Halyard,2008-2013,region-1,4
Corvane,Halyard,2012-2015,region-1,8  # <- Two rows speak of one vehicle: key-cap 4 and key-cap 8.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,markets,key-cap
Corvane,Halyard,2008-2011,region-1,4
Corvane,Halyard,2012-2015,region-1,8
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.kinds import Clash, clashes
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import contradicted


@library_rule(Level.ERROR, harm=Harm.NO_KEY)
def overlapping_rows_conflict(library: LibraryStudy) -> Iterator[Result]:
    """Find rows of one source that meet and cannot both be true."""
    evidence = library.evidence
    yield from contradicted(clashes(evidence, Clash.OF_ROWS), evidence, lambda _: "Two rows speak of one vehicle")
