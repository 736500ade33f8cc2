"""What is written comes before its review, and both before today.

A review from before the procedure was written is the review of another text; one that is still to come has not been
done. Mostly a year was mistyped in January, and then the review looks newer than it is.

```yaml bad
written: {by: m-07, date: 2026-03-02}
reviewed: {by: m-02, date: 2025-03-11}  # <- This was reviewed before it was written.
```

```yaml bad
written: {by: m-07, date: 2027-03-02}  # <- The day of 'written' is still to come.
reviewed: {by: m-02, date: 2027-03-11}  # <- The day of 'reviewed' is still to come.
```

```yaml good
written: {by: m-07, date: 2026-03-02}
reviewed: {by: m-02, date: 2026-03-11}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Note, Result
from proclint.rule import procedure_rule


@procedure_rule(Level.WARNING, harm=Harm.TIME)
def dates_out_of_order(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Compare the days of writing and review with each other and with today."""
    written, reviewed = procedure.written, procedure.reviewed
    for name, signed in (("written", written), ("reviewed", reviewed)):
        if signed is not None and signed.date > study.on:
            said = f"The day of '{name}' is still to come."
            yield Result(said, at=signed.at / "date", change="Write the day on which it was done.", subject=name)
    if reviewed is not None and reviewed.date < written.date:
        yield Result(
            "This was reviewed before it was written.",
            at=reviewed.at / "date",
            change="Correct the day, or have what stands here reviewed.",
            subject="reviewed",
            notes=(Note(written.at / "date", "It was written on this day."),),
        )
