"""A change within a model year can be told at the vehicle.

Where one system ends and the next begins in the same model year, both are right and nobody knows which one stands there. A month of
building, or a variant with a tell, says it.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2009-2013,4
Corvane,Halyard,2013-2017,8  # <- Nothing tells which of the 2013 vehicles this is: key-cap 4 and key-cap 8.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,build,key-cap
Corvane,Halyard,2009-2013,2008-09/2013-07,4
Corvane,Halyard,2013-2017,2013-08/2017-07,8
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.kinds import Clash, clashes, shared_year
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import contradicted


@library_rule(Level.ERROR, harm=Harm.NO_KEY)
def mid_year_change_without_tell(library: LibraryStudy) -> Iterator[Result]:
    """Find rows that end and begin in one model year, with nothing to tell the vehicles apart."""
    evidence = library.evidence
    yield from contradicted(
        clashes(evidence, Clash.IN_A_YEAR),
        evidence,
        lambda conflict: f"Nothing tells which of the {shared_year(conflict, evidence.space)} vehicles this is",
    )
