"""A source speaks of the vehicles that it is used for.

What holds in one market, or for one model year, is another system in the next. A row that reaches further than its source is a guess.

```yaml bad
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Handbook, date: 2013-05-01, covers: {make: Corvane, years: 2013-2015}}
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4  # <- 'halyard-handbook' does not speak of all these vehicles.
```

```yaml good
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Handbook, date: 2013-05-01, covers: {make: Corvane, years: 2013-2017}}
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.in_words import all_vehicles
from proclint.analysis.facts.sources import once_a_row, out_of_scope
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.source import Place


@library_rule(Level.ERROR, harm=Harm.TIME)
def source_does_not_cover_vehicle(library: LibraryStudy) -> Iterator[Result]:
    """Find rows that speak of vehicles of which their source does not."""
    evidence = library.evidence
    first: dict[str, Place] = {}
    for claim in once_a_row(each for each in evidence.claims if out_of_scope(each, evidence.register)):
        beyond = all_vehicles(out_of_scope(claim, evidence.register), evidence.space)
        yield Result(
            f"'{claim.source}' does not speak of all these vehicles.",
            at=claim.at,
            change="Narrow the row to what the source covers, or correct what it covers in sources.yaml.",
            why=f"It says nothing of {beyond}.",
            subject=claim.source,
            because=first.setdefault(claim.source, claim.at),
        )
