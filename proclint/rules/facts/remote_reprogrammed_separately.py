"""A head that is learned with its chip has no second learn.

Where one learn writes chip and buttons of a head, a second learn for the buttons begins a new list: the key that was just learned, or
the others, fall out of it. The buttons are tested instead.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,head-kind,together
Corvane,Halyard,2013-2017,integrated,true
# file example.yaml
keys: {N: {kind: key, registered: false, here: 1, head: integrated}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  chip: {do: learn N1, expect: the screen shows KEYS 2, fails: not-learned}
  buttons: {do: learn N1 remote, expect: the locks click once, then: all-right, fails: not-learned}  # <- 'learn N1 remote' clears what was learned with the chip.
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: not-as-found, tell: The key is not learned.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,head-kind,together
Corvane,Halyard,2013-2017,integrated,true
# file example.yaml
keys: {N: {kind: key, registered: false, here: 1, head: integrated}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  chip: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
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


@library_rule(Level.WARNING, harm=Harm.NO_KEY)
def remote_reprogrammed_separately(library: LibraryStudy) -> Iterator[Result]:
    """Find learns of buttons on vehicles that learn them with the chip."""
    for found, _ in held_against(library, relations=("learned-together",)):
        yield against_table(
            found,
            library.evidence,
            f"'{found.words}' clears what was learned with the chip.",
            change="Take this line out, and test the buttons instead.",
            about="remote-learned-apart",
        )
