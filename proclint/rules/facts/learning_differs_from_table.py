"""What a learn does to the other keys is what the vehicle does.

Where the vehicle drops every key at the first learn and the sheet says that it adds one, the customer's other keys are dead the next day.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,add-mode
Corvane,Halyard,2013-2017,replace-all
# file example.yaml
learning: add  # <- The vehicle does otherwise with the other keys: replace-all.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,add-mode
Corvane,Halyard,2013-2017,add
# file example.yaml
learning: add
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def learning_differs_from_table(library: LibraryStudy) -> Iterator[Result]:
    """Find procedures that add where the vehicle replaces, and the other way round."""
    for found, said in held_against(library, relations=("adding-keeps-the-others", "replacing-drops-the-others")):
        yield against_table(
            found,
            library.evidence,
            f"The vehicle does otherwise with the other keys: {said}.",
            change="Write what the vehicle does, and have consent and all keys there where it drops them.",
            about="learning",
        )
