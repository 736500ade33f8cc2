"""Buttons that are learned apart are learned.

Where the chip of a head and its buttons are learned apart, a key that was learned by its chip alone starts the engine and opens no
door. The customer finds out at the next shop.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,head-kind,together
Corvane,Halyard,2013-2017,integrated,false
# file example.yaml
keys:
  N: {kind: key, registered: false, here: 1, head: integrated}  # <- The buttons of the new head stay dead.
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  chip: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: not-as-found, tell: The key is not learned.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,head-kind,together
Corvane,Halyard,2013-2017,integrated,false
# file example.yaml
keys: {N: {kind: key, registered: false, here: 1, head: integrated}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  chip: {do: learn N1, expect: the screen shows KEYS 2, fails: not-learned}
  buttons: {do: learn N1 remote, expect: the locks click once, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: not-as-found, tell: The key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def remote_step_missing(library: LibraryStudy) -> Iterator[Result]:
    """Find heads whose buttons no step learns, on vehicles that learn them apart."""
    for found, _ in held_against(library, relations=("learned-apart",)):
        yield against_table(
            found,
            library.evidence,
            "The buttons of the new head stay dead.",
            change="Learn them after the chip: `learn N1 remote`.",
            about="remote-learned-apart",
        )
