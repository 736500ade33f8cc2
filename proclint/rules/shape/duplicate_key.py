"""No name stands twice in one place.

Of two steps with one name, or two `tries` in one step, only one would count, and which of them the author meant cannot
be seen. It comes from copying a step at the kerb and forgetting to rename it. Steps, fallbacks, endings and exits share
their names, as a way may lead to each of them.

```yaml bad
steps:
  open: {do: check-part O1, fails: not-open}
  open: {do: close-session, then: all-right}  # <- 'open' stands here a second time; only one of the two would count.
endings:
  all-right: {kind: success, tell: The session was open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```

```yaml bad
steps: {look-on: {do: look hood, then: all-right}}
endings:
  all-right: {kind: success, tell: It works.}
  look-on: {kind: as-found, tell: Nothing was changed.}  # <- A way to 'look-on' could mean a step or an ending.
```

```yaml good
steps:
  open: {do: check-part O1, fails: not-open}
  finish: {do: close-session, then: all-right}
endings:
  all-right: {kind: success, tell: The session was open.}
  not-open: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def duplicate_key(file: FileStudy) -> Iterator[Result]:
    """Tell where a name stands a second time, and where the first time."""
    for trouble in file.troubles:
        if trouble.kind == "duplicate-key":
            first = (Note(trouble.other, "The first one stands here."),) if trouble.other else ()
            subject = str(trouble.at.path[-1])
            yield Result(trouble.message, at=trouble.at, change=trouble.change, subject=subject, notes=first)
    for fault in file.faults:
        if fault.kind == "name-of-two":
            yield Result(
                f"A way to '{fault.name}' could mean {fault.found}.",
                at=fault.at,
                change="Give one of them another name, and look at the ways that lead there.",
                subject=fault.name,
                notes=(Note(fault.other, "The first one stands here."),) if fault.other else (),
            )
