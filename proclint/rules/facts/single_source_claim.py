"""What may cost a key rests on more than one distant source.

One man's miscount travels far. What costs a vehicle its keys when it is wrong is known from the maker, or was seen by two, or stands as
what it is: one report.

```yaml bad
# file sources.yaml
sources:
  - {id: some-video, kind: training-sheet, title: A video, date: 2019-05-01}
# file facts/some-video.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4  # <- Only 'some-video' says this.
# file example.yaml
slots: {key: 4}
```

```yaml good
# file sources.yaml
sources:
  - {id: some-video, kind: training-sheet, title: A video, date: 2019-05-01}
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file facts/some-video.csv
make,model,years,key-cap,add-mode
Corvane,Halyard,2013-2017,4,add
# file facts/halyard-handbook.csv
make,model,years,key-cap,add-mode
Corvane,Halyard,2013-2017,4,add
# file example.yaml
sources: [halyard-handbook]
slots: {key: 4}
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.alone import alone
from proclint.analysis.facts.sources import once_a_row
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.WARNING, harm=Harm.NO_KEY)
def single_source_claim(library: LibraryStudy) -> Iterator[Result]:
    """Find what procedures rely on that one source far from the vehicle says alone."""
    evidence = library.evidence
    for claim in once_a_row(alone(evidence, (box for job in library.jobs for box in job.boxes))):
        yield Result(
            f"Only '{claim.source}' says this.",
            at=claim.at,
            change="Find a second source that is independent of it, or add a field report.",
            why=f"If {claim.statement.attribute} is wrong, it costs an injury, a key or a visit.",
            subject=claim.source,
        )
