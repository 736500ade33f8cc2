"""Somebody else than the author reviews.

Whoever wrote a step reads what was meant, not what stands there. A procedure past its draft has been read by a second
person.

```yaml bad
reviewed: {by: m-07, date: 2026-03-11}  # <- Only the author has looked at this.
```

```yaml good
reviewed: {by: m-02, date: 2026-03-11}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Note, Result
from proclint.rule import procedure_rule


@procedure_rule(Level.WARNING, harm=Harm.TIME)
def no_second_person_review(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Tell whether a second person has read a procedure that is no draft."""
    reviewed = procedure.reviewed
    if procedure.stage in ("draft", "withdrawn") or (reviewed is not None and reviewed.by != procedure.written.by):
        return
    yield Result(
        "Only the author has looked at this.",
        at=reviewed.at if reviewed is not None else procedure.written.at,
        change="Have another member review it and write 'reviewed:', or set 'stage: draft'.",
        notes=(Note(procedure.written.at, f"'{procedure.written.by}' wrote it."),),
    )
