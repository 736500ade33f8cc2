"""There are as many security waits as the vehicle keeps.

Whoever stops after one wait of three has waited for nothing: the vehicle is as closed as before.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,security-wait,security-wait-count
Corvane,Halyard,2013-2017,600,3
# file example.yaml
steps:
  wait-it:
    do:
      - {do: wait-access O1, takes: 600-605-640 s, expect: the immobiliser lamp goes dark, within: 20 s}  # <- The vehicle opens only after 3 waits.
    then: all-right
    fails: broken-off
endings:
  all-right: {kind: success, tell: It works.}
  broken-off: {kind: as-found, tell: The wait was broken off.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,security-wait,security-wait-count
Corvane,Halyard,2013-2017,600,3
# file example.yaml
steps:
  wait-it:
    repeat: 3
    do:
      - {do: wait-access O1, takes: 600-605-640 s, expect: the immobiliser lamp goes dark, within: 20 s}
    then: all-right
    fails: broken-off
endings:
  all-right: {kind: success, tell: It works.}
  broken-off: {kind: as-found, tell: The wait was broken off.}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def wait_count_differs(library: LibraryStudy) -> Iterator[Result]:
    """Find numbers of waits that differ from the table."""
    for found, said in held_against(library, relations=("waits-as-many",)):
        yield against_table(
            found,
            library.evidence,
            f"The vehicle opens only after {said} waits.",
            change=f"Write `repeat: {said}` at the step, or correct the table with a source.",
            about="waits-written",
        )
