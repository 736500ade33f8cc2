"""The code has the length that the vehicle takes.

A code of another length is noticed at the vehicle, with the authorised source closed for the day.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,code-length
Corvane,Halyard,2013-2017,6
# file example.yaml
steps:
  enter: {do: enter-code 4 digits, then: all-right, fails: no-access}  # <- The vehicle takes a code of 6 characters.
endings:
  all-right: {kind: success, tell: It works.}
  no-access: {kind: as-found, tell: The code was refused.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,code-length
Corvane,Halyard,2013-2017,6
# file example.yaml
steps:
  enter: {do: enter-code 6 digits, then: all-right, fails: no-access}
endings:
  all-right: {kind: success, tell: It works.}
  no-access: {kind: as-found, tell: The code was refused.}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def code_format_differs_from_table(library: LibraryStudy) -> Iterator[Result]:
    """Find codes of another length than the table has."""
    for found, said in held_against(library, attributes=("code-length",)):
        yield against_table(
            found,
            library.evidence,
            f"The vehicle takes a code of {said} characters.",
            change=f"Write {said}, or correct the table with a source.",
            about="code-length",
        )
