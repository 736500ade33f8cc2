"""Every ending says what kind it is: success, as-found, not-as-found or referred.

Whoever answers the telephone must know what comes next: an invoice, a return visit, or a tow. "The end" does not say it.

```yaml bad
steps: {look-on: {do: look hood, then: over}}
endings:
  over: {tell: The job is over.}  # <- Nobody knows in which state 'over' leaves the vehicle.
```

```yaml good
steps: {look-on: {do: look hood, then: over}}
endings:
  over: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def ending_kind_missing(file: FileStudy) -> Iterator[Result]:
    """Tell which endings have no kind."""
    for fault in file.faults:
        if fault.kind == "no-ending-kind":
            name = next(str(part) for part in reversed(fault.at.path) if part != "kind")
            yield Result(
                f"Nobody knows in which state '{name}' leaves the vehicle.",
                at=fault.at,
                change="Write 'kind:' with success, as-found, not-as-found or referred.",
                subject=name,
            )
