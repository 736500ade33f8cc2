"""One model has one name.

Two spellings are two models for whoever looks one of them up: what is known of the other is never found, and what they contradict each
other in is never seen.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2005-2008,4
Corvane,Halyrd,2009-2013,4  # <- 'Corvane Halyrd' looks like 'Corvane Halyard' written otherwise.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2005-2008,4
Corvane,Halyard,2009-2013,4
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.names import near_names
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import library_rule


@library_rule(Level.NOTE, harm=Harm.TIME)
def name_not_normalised(library: LibraryStudy) -> Iterator[Result]:
    """Find names of models that differ by a letter, a space or a capital."""
    for pair in near_names(library.evidence, library.jobs):
        yield Result(
            f"'{pair.name}' looks like '{pair.other}' written otherwise.",
            at=pair.at,
            change=f"Write '{pair.other}', if it is the same model.",
            subject=pair.name,
            notes=(Note(pair.other_at, "The other one stands here."),),
        )
