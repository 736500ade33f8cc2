"""What every reader needs is there: task, vehicles, steps, endings, sources, who wrote it and when.

Without them nobody can tell for which vehicle a procedure is, or whom to ask. In a draft this is a note: whoever stands
at the kerb may not know it yet, and an honest gap is better than a guess.

```yaml bad
format: 1  # <- The file does not say its 'vehicles'.
id: example
title: An example
task: add-key
method: tool
version: 1
stage: bench-proven
written: {by: m-07, date: 2026-03-02}
sources: [example-handbook]
keys: {O: {kind: key, registered: true, here: 1}}
start: {ignition: off}
steps: {look-on: {do: look hood, then: all-right}}
endings:
  all-right: {kind: success, tell: It works.}
```

```yaml good
steps: {look-on: {do: look hood, then: all-right}}
endings:
  all-right: {kind: success, tell: It works.}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.ERROR, Level.NOTE, harm=Harm.READER, never_accepted=True)
def missing_required_field(file: FileStudy) -> Iterator[Result]:
    """Tell which fields are missing."""
    level = Level.NOTE if file.is_draft else Level.ERROR
    for fault in file.faults:
        if fault.kind == "missing-field":
            owner = fault.at.path[-2] if len(fault.at.path) > 1 else ""
            yield Result(
                f"'{owner}' does not say its '{fault.name}'." if owner else f"The file does not say its '{fault.name}'.",
                at=fault.at,
                change=f"Write '{fault.name}:' with {fault.expected}." if fault.expected else f"Write '{fault.name}:'.",
                subject=fault.name,
                level=level,
            )
