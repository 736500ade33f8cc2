"""A source that is cited speaks of what it is cited for.

A note on cutting blades beside a number of places looks like a proof and is none. The source that does speak of it is the one that a
reviewer has to look into.

```yaml bad
# file sources.yaml
sources:
  - {id: blade-note, kind: supplier-note, title: Blades and codes, date: 2014-05-01}
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file facts/blade-note.csv
make,model,years,add-mode
Corvane,Halyard,2013-2017,add
# file facts/halyard-handbook.csv
make,model,years,key-cap,add-mode
Corvane,Halyard,2013-2017,8,add
# file example.yaml
sources: [blade-note]
slots: {key: 8}  # <- What is cited does not speak of key-cap.
```

```yaml good
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file facts/halyard-handbook.csv
make,model,years,key-cap,add-mode
Corvane,Halyard,2013-2017,8,add
# file example.yaml
sources: [halyard-handbook]
slots: {key: 8}
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.founded import all_tell, grounds, is_borne_out
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import library_rule


@library_rule(Level.NOTE, harm=Harm.TIME)
def claim_unsupported_by_cited_source(library: LibraryStudy) -> Iterator[Result]:
    """Find what procedures state of which other sources speak, and none that they cite; all that they cite has a table."""
    for job in library.jobs:
        cited = library.cited_by(job.job)
        for ground in grounds(job, library.evidence) if all_tell(job, cited, library.evidence) else ():
            if ground.claims and not is_borne_out(ground, cited, library.evidence):
                other = ground.claims[0]
                yield Result(
                    f"What is cited does not speak of {ground.attribute}.",
                    at=ground.own.at,
                    change=f"Cite '{other.source}', which does, if it was used.",
                    subject=ground.attribute,
                    notes=(Note(other.at, f"'{other.source}' says {other.text} here."),),
                )
