"""A procedure believes in as many places as the vehicle has.

With a cap that is too high a key that works is pushed out, or a good part is thrown away because it "does not take". With one that is too
low keys are erased to make room where there was room. Caps that cannot be true together, or with how many keys close the list, are told too.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
# file example.yaml
slots: {key: 8}  # <- The vehicle has places for 4, and not for 8.
```

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,valet-counts-in-key-cap
Corvane,Halyard,2013-2017,true
# file example.yaml
slots: {key: 2, valet: 3}  # <- This cannot be true of the vehicle: key-cap 2 and valet-cap 3.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,key-cap
Corvane,Halyard,2013-2017,4
# file example.yaml
slots: {key: 4}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against, impossible

_CAPS = ("key-cap", "remote-cap", "fob-cap", "valet-cap")
_BETWEEN = ("valets-among-keys", "closing-within-key-cap", "closing-within-fob-cap")


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def cap_differs_from_table(library: LibraryStudy) -> Iterator[Result]:
    """Find caps that differ from what is believed of the vehicles."""
    for found, said in held_against(library, attributes=_CAPS):
        own = found.own[0]
        yield against_table(
            found,
            library.evidence,
            f"The vehicle has places for {said}, and not for {own.text}.",
            change=f"Write {said}, or correct the table with a source.",
            about=own.statement.attribute,
        )
    for found, _ in held_against(library, relations=_BETWEEN):
        yield impossible(found, library.evidence)
