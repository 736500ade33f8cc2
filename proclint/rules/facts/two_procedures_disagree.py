"""Two procedures for one job say the same.

Of two sheets for one vehicle and one task a technician takes the one on top. Where they differ, one of them fails, or erases what the
other keeps.

```yaml bad
# file one.yaml
id: corvane-halyard-add-key
slots: {key: 4}
# file two.yaml
id: corvane-halyard-add-a-key
slots: {key: 8}  # <- Another sheet for this job says key-cap 4.
```

```yaml good
# file one.yaml
id: corvane-halyard-add-key
slots: {key: 8}
# file two.yaml
id: corvane-halyard-add-key-later
vehicles: [{make: Corvane, model: Halyard, years: 2018-2019, markets: [region-1], ignition-kind: keyed}]
slots: {key: 4}
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.in_words import all_vehicles
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def two_procedures_disagree(library: LibraryStudy) -> Iterator[Result]:
    """Find values in which two procedures for one task on one vehicle differ."""
    for each in library.differences:
        one, other, name = each.one, each.other, each.one.statement.attribute
        where = all_vehicles(each.boxes, library.evidence.space)
        yield Result(
            f"Another sheet for this job says {name} {one.text}.",
            at=other.at,
            change="Put both into one procedure, or say what tells the vehicles apart.",
            why=f"'{one.source}' says {one.text} and '{other.source}' says {other.text}, of {where}.",
            subject=f"{name} {one.source}",
            # Where the choice is on the screen both may be right; their effect on the other keys differs all the same.
            level=Level.WARNING if name == "learning" else None,
            notes=(Note(one.at, "The other one says it here."),),
            because=other.at,
        )
