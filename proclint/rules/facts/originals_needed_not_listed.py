"""A job on board asks for as many working keys as the vehicle wants.

Without a tool a vehicle often wants two keys that it knows before it takes a new one. Whoever asks the customer for one drives there
twice.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,originals-needed-on-board
Corvane,Halyard,2013-2017,2
# file example.yaml
method: on-board
keys:
  O: {kind: key, registered: true, here: 1}  # <- The vehicle wants more working keys than are asked for: 2.
  N: {kind: key, registered: false, here: 1}
steps: {how-many: {do: count N, then: all-right}}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,originals-needed-on-board
Corvane,Halyard,2013-2017,2
# file example.yaml
method: on-board
keys: {O: {kind: key, registered: true, here: 2}, N: {kind: key, registered: false, here: 1}}
steps: {how-many: {do: count N, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def originals_needed_not_listed(library: LibraryStudy) -> Iterator[Result]:
    """Find jobs on board that are begun with fewer working keys than they need."""
    for found, said in held_against(library, relations=("originals-for-on-board",)):
        yield against_table(
            found,
            library.evidence,
            f"The vehicle wants more working keys than are asked for: {said}.",
            change="Ask for so many, and do it with the tool where they are not there.",
            about="originals-working",
        )
