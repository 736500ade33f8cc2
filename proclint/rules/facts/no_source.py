"""What may cost a key is known from somewhere.

A number of places, a wait, a chip that no source speaks of cannot be checked by anybody, and whoever has doubts at the vehicle has nothing to
look into. Either it was seen, and that is a source, or it is a guess.

```yaml bad
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file facts/halyard-handbook.csv
make,model,years,code-length,add-mode
Corvane,Halyard,2013-2017,4,add
# file example.yaml
sources: [halyard-handbook]
slots: {key: 8}  # <- No source says this of key-cap: 8.
```

```yaml good
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file facts/halyard-handbook.csv
make,model,years,code-length,key-cap,add-mode
Corvane,Halyard,2013-2017,4,8,add
# file example.yaml
sources: [halyard-handbook]
slots: {key: 8}
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.founded import all_tell, grounds
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, harm=Harm.NO_KEY)
def no_source(library: LibraryStudy) -> Iterator[Result]:
    """Find procedures that cite nothing, and what they state of which no source speaks, where all that they cite has a table."""
    for job in library.jobs:
        cited = library.cited_by(job.job)
        if not cited:
            yield Result(
                "This procedure rests on no source.",
                at=job.job.at,
                change="Cite what it was learned from: a handbook, a bulletin, or the log of the vehicle on which it was done.",
            )
        for ground in grounds(job, library.evidence) if all_tell(job, cited, library.evidence) else ():
            if not ground.claims:
                yield Result(
                    f"No source says this of {ground.attribute}: {ground.own.text}.",
                    at=ground.own.at,
                    change=f"Write {ground.attribute} into the table of the source that has it, or report what was seen.",
                    subject=ground.attribute,
                )
