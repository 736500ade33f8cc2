"""A review is at most two years old.

Systems change, sources are corrected, and what was right when somebody looked may be wrong today. After 24 months
somebody looks again, or the procedure is withdrawn.

```yaml bad
reviewed: {by: m-02, date: 2024-02-11}  # <- Nobody has looked at this for 27 months.
```

```yaml good
reviewed: {by: m-02, date: 2026-03-11}
```
"""

from collections.abc import Iterator
from datetime import date

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule

_MOST_MONTHS = 24


@procedure_rule(Level.NOTE, harm=Harm.TIME)
def review_expired(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Tell how long ago the review was."""
    if procedure.reviewed is None or procedure.stage == "withdrawn":
        return
    months = _months(procedure.reviewed.date, study.on)
    if months > _MOST_MONTHS:
        yield Result(
            f"Nobody has looked at this for {months} months.",
            at=procedure.reviewed.at / "date",
            change="Review it again, or withdraw it.",
            why=f"The last review is of {procedure.reviewed.date}; it holds for {_MOST_MONTHS} months.",
        )


def _months(since: str, until: str) -> int:
    first, last = date.fromisoformat(since), date.fromisoformat(until)
    return (last.year - first.year) * 12 + last.month - first.month - (last.day < first.day)
