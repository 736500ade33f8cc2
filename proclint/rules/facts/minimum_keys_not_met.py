"""There are as many keys as the vehicle wants before it closes its list.

Many vehicles that begin a new list do not close it, or do not arm, before they have seen a second key. Whoever comes with one key
leaves the vehicle as it cannot be left.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,minimum-keys-to-close
Corvane,Halyard,2013-2017,2
# file example.yaml
task: all-keys-lost
keys:
  O: {kind: key, registered: true, here: 0, away: 2}
  N: {kind: key, registered: false, here: 1}  # <- The list does not close: the vehicle wants to see 2 keys.
steps: {how-many: {do: count N, then: all-right}}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,minimum-keys-to-close
Corvane,Halyard,2013-2017,2
# file example.yaml
task: all-keys-lost
keys:
  O: {kind: key, registered: true, here: 0, away: 2}
  N: {kind: key, registered: false, here: 2}
steps: {how-many: {do: count N, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def minimum_keys_not_met(library: LibraryStudy) -> Iterator[Result]:
    """Find new lists that are shown fewer keys than they want."""
    for found, said in held_against(library, relations=("keys-to-close",)):
        yield against_table(
            found,
            library.evidence,
            f"The list does not close: the vehicle wants to see {said} keys.",
            change=f"Have {said} keys there before the list is begun, and learn them all.",
            about="new-keys",
        )
