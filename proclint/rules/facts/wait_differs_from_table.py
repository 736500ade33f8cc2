"""A security wait is the one that the vehicle keeps.

A wait that ends too early is broken off by the next line and counts for nothing; one that begins with another key in the cylinder
makes that key the one that is learned.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,security-wait,security-wait-count
Corvane,Halyard,2013-2017,600,3
# file example.yaml
steps:
  wait-it:
    repeat: 3
    do:
      - {do: wait-access O1, takes: 300-305-340 s, expect: the immobiliser lamp goes dark, within: 20 s}  # <- The vehicle keeps another wait: 600 s.
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
def wait_differs_from_table(library: LibraryStudy) -> Iterator[Result]:
    """Find waits of another length, or with another key, than the table has."""
    for found, said in held_against(library, relations=("wait-long-enough",)):
        change = f"Write the wait of {said} s, and a little more."
        message = f"The vehicle keeps another wait: {said} s."
        yield against_table(found, library.evidence, message, change=change, about="wait-written-most")
    for found, said in held_against(library, attributes=("key-during-wait",)):
        message = f"The vehicle takes the key that it sees: {said}."
        change = "Put the key into the cylinder that the table names."
        yield against_table(found, library.evidence, message, change=change, about="key-during-wait")
