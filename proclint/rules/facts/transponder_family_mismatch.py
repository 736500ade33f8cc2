"""The chip of a new key is of the family that the vehicle reads.

A chip of another family is never learned, and one that can be learned only once may be spoiled by the trial.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,chip-family
Corvane,Halyard,2013-2017,crypto-128
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, chip: crypto-80}}  # <- The vehicle never learns this chip: it reads crypto-128.
steps: {how-many: {do: count N, then: all-right}}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,chip-family
Corvane,Halyard,2013-2017,crypto-128
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, chip: crypto-128}}
steps: {how-many: {do: count N, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def transponder_family_mismatch(library: LibraryStudy) -> Iterator[Result]:
    """Find new keys whose chip is of another family than the vehicle reads."""
    for found, said in held_against(library, relations=("part-of-chip-family",)):
        yield against_table(
            found,
            library.evidence,
            f"The vehicle never learns this chip: it reads {said}.",
            change=f"Write {said} here and bring such a part, or correct the table with a source.",
            about="part-chip-family",
        )
