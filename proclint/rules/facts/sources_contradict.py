"""What sources say of one vehicle can be true together.

Two sources of which one must be wrong are a vehicle at which one of them fails. What is told here is the smallest set of cells that
cannot all be true, so that one of them can be given up; nothing is chosen for you, and the least trusted one is named first.

```yaml bad
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
  - {id: supplier-note, kind: supplier-note, title: Supplier's note, date: 2020-02-01}
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
# file facts/supplier-note.csv
make,model,years,key-cap
Corvane,Halyard,2015-2019,8  # <- Of one vehicle it is said: key-cap 4 and key-cap 8.
```

```yaml good
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
  - {id: supplier-note, kind: supplier-note, title: Supplier's note, date: 2020-02-01}
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
# file facts/supplier-note.csv
make,model,years,key-cap
Corvane,Halyard,2015-2019,4
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.kinds import Clash, clashes
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import contradicted, undecided


@library_rule(Level.ERROR, harm=Harm.NO_KEY)
def sources_contradict(library: LibraryStudy) -> Iterator[Result]:
    """Find the smallest sets of what sources say that cannot all be true, and what was not decided of it."""
    evidence = library.evidence
    yield from contradicted(clashes(evidence, Clash.OF_SOURCES), evidence, lambda _: "Of one vehicle it is said")
    for left in evidence.reconciled.undecided:
        yield undecided(left, evidence.all_claims)
    for job, found in library.held:
        for left in found.undecided:
            yield undecided(left, job.claims)
