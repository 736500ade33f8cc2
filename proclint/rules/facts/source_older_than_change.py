"""A source is not older than what it speaks of.

A note of 2009 cannot know the system that came in 2012; what it says was said of another one.

```yaml bad
# file sources.yaml
sources:
  - {id: old-note, kind: supplier-note, title: Supplier's note, date: 2009-05-01}
# file facts/old-note.csv
make,model,years,key-cap
Corvane,Halyard,2012-2017,4  # <- 'old-note' is older than these vehicles.
```

```yaml good
# file sources.yaml
sources:
  - {id: new-note, kind: handbook-or-bulletin, title: Handbook, date: 2012-02-01}
# file facts/new-note.csv
make,model,years,key-cap
Corvane,Halyard,2012-2017,4
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.in_words import vehicles
from proclint.analysis.facts.sources import is_older, once_a_row
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.source import Place


@library_rule(Level.ERROR, harm=Harm.TIME)
def source_older_than_change(library: LibraryStudy) -> Iterator[Result]:
    """Find cells of sources that are older than the first vehicle that they speak of."""
    evidence = library.evidence
    first: dict[str, Place] = {}
    for claim in once_a_row(each for each in evidence.claims if is_older(each, evidence.register, evidence.space)):
        yield Result(
            f"'{claim.source}' is older than these vehicles.",
            at=claim.at,
            change="Find a source that is newer, or narrow the row to the vehicles that there were.",
            why=f"It is of {evidence.register[claim.source].date}; the first of {vehicles(claim.box, evidence.space)} "
            f"were built in {evidence.space.first_month(claim.box)} at the earliest. What it says does not count.",
            subject=claim.source,
            because=first.setdefault(claim.source, claim.at),
        )
