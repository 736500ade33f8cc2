"""After a lockout the wait is as long as the vehicle keeps it.

Another code before the lockout has ended is a wrong one again, and on many vehicles it makes the lockout longer.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,lockout
Corvane,Halyard,2013-2017,600
# file example.yaml
steps:
  sit-out:
    do:
      - {do: wait-lockout, takes: 5-6-7 min, expect: the screen no longer shows LOCKED, within: 60 s}  # <- The lockout still lasts when this wait is over: 600 s.
    then: all-right
    fails: still-locked
endings:
  all-right: {kind: success, tell: It works.}
  still-locked: {kind: as-found, tell: The vehicle is locked.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,lockout
Corvane,Halyard,2013-2017,600
# file example.yaml
steps:
  sit-out:
    do:
      - {do: wait-lockout, takes: 10-11-12 min, expect: the screen no longer shows LOCKED, within: 60 s}
    then: all-right
    fails: still-locked
endings:
  all-right: {kind: success, tell: It works.}
  still-locked: {kind: as-found, tell: The vehicle is locked.}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def lockout_wait_shorter_than_table(library: LibraryStudy) -> Iterator[Result]:
    """Find waits for a lockout that end before it does."""
    for found, said in held_against(library, relations=("lockout-waited-out",)):
        yield against_table(
            found,
            library.evidence,
            f"The lockout still lasts when this wait is over: {said} s.",
            change=f"Wait at least {said} s.",
            about="lockout-waited",
        )
