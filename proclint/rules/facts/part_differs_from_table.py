"""A key is of the kind that the vehicle has.

What is written of a key's head, or of whether its chip can be learned only once, decides which part is bought and how often it may be tried.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,one-time-part
Corvane,Halyard,2013-2017,true
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, one-time: false}}  # <- This vehicle has another part: one-time-part true.
steps: {how-many: {do: count N, then: all-right}}
```

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,together
Corvane,Halyard,2013-2017,true
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1, head: plain}}  # <- This cannot be true of the vehicle: head-kind plain.
steps: {how-many: {do: count O, then: all-right}}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,one-time-part
Corvane,Halyard,2013-2017,true
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, one-time: true}}
steps: {how-many: {do: count N, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against, impossible


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def part_differs_from_table(library: LibraryStudy) -> Iterator[Result]:
    """Find heads and chips that are said otherwise than in the table."""
    for found, said in held_against(library, attributes=("head-kind", "one-time-part")):
        yield against_table(
            found,
            library.evidence,
            f"This vehicle has another part: {found.facts[0].attribute} {said}.",
            change=f"Write {said}, or correct the table with a source.",
            about="",
        )
    for found, _ in held_against(library, relations=("plain-has-no-buttons",)):
        yield impossible(found, library.evidence)
