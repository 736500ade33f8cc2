"""A procedure's id and file name say the make and model that it is for.

The file is picked by its name. Where the name says another model than the vehicles listed inside, it is the wrong
procedure that gets followed.

```yaml bad
id: ostrel-tarn-add-key  # <- The id speaks of another vehicle than 'Corvane Halyard'.
```

```yaml good
id: corvane-halyard-add-key
```
"""

import re
from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Note, Result
from proclint.rule import procedure_rule


@procedure_rule(Level.NOTE, harm=Harm.TIME)
def id_and_applicability_differ(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Compare the id, and the years in it, with the vehicles."""
    vehicles = procedure.vehicles[0]
    words = procedure.id.split("-")
    named = [_word(vehicles.make), _word(vehicles.model)]
    if len(words) > 2 and not any(name in procedure.id for name in named):
        yield Result(
            f"The id speaks of another vehicle than '{vehicles.make} {vehicles.model}'.",
            at=procedure.at,
            change=f"Begin the id with '{'-'.join(named)}', or correct the vehicles.",
            notes=(Note(vehicles.at, "The vehicles are listed here."),),
        )
    for year in re.findall(r"\b(?:19|20)[0-9]{2}\b", f"{procedure.id} {procedure.at.file}"):
        if not any(each.years[0] <= int(year) <= each.years[1] for each in procedure.vehicles):
            yield Result(
                f"The name says {year}, and no vehicle here is of that year.",
                at=procedure.at,
                change="Take the year out of the name, or correct the vehicles.",
                subject=year,
            )


def _word(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
