"""An accepted result says why, who took it, and until when; at most 18 months.

A result that somebody silenced without a word is silenced for ever by nobody. Whoever reads it later must be able to
ask, and the day must come when somebody looks again.

```yaml bad
# file accepted.yaml
- {rule: review-expired, in: example, by: m-02, on: 2026-03-01, until: 2026-12-31}  # <- Nobody can tell why 'review-expired' was accepted.
```

```yaml bad
# file accepted.yaml
- {rule: review-expired, in: example, because: The author is on the road., by: m-02, on: 2026-10-01, until: 2026-07-31}  # <- 'review-expired' is accepted until a day before the one on which it was.
# file example.yaml
written: {by: m-07, date: 2024-02-02}
reviewed: {by: m-02, date: 2024-02-11}
```

```yaml good
# file accepted.yaml
- {rule: review-expired, in: example, because: The author is on the road until autumn., by: m-02, on: 2026-03-01, until: 2026-12-31}
# file example.yaml
written: {by: m-07, date: 2024-02-02}
reviewed: {by: m-02, date: 2024-02-11}
```
"""

from collections.abc import Iterator
from datetime import date

from proclint.analysis.library import LibraryStudy
from proclint.model import Acceptance
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule

_MOST_MONTHS = 18


@library_rule(Level.ERROR, harm=Harm.DAMAGE, never_accepted=True)
def accepted_without_reason(library: LibraryStudy) -> Iterator[Result]:
    """Find accepted results that lack a reason, a person or an end, and those accepted for too long."""
    for accepted in library.acceptances:
        for said, change in _lacks(accepted):
            yield Result(said, at=accepted.at, change=change, subject=accepted.rule)


def _lacks(accepted: Acceptance) -> Iterator[tuple[str, str]]:
    rule = accepted.rule or "it"
    if not accepted.because:
        yield f"Nobody can tell why '{rule}' was accepted.", "Write 'because:' with the reason."
    if not accepted.by:
        yield f"Nobody can tell who accepted '{rule}'.", "Write 'by:' with the member number."
    if not (accepted.on and accepted.until):
        yield f"'{rule}' is accepted without a beginning or an end.", "Write 'on:' and 'until:' with days."
    elif accepted.until < accepted.on:
        yield f"'{rule}' is accepted until a day before the one on which it was.", "Correct 'on:' or 'until:'."
    elif _months(accepted.on, accepted.until) > _MOST_MONTHS:
        yield f"'{rule}' is accepted for more than {_MOST_MONTHS} months.", "Name an earlier day under 'until:'."


def _months(on: str, until: str) -> int:
    first, last = date.fromisoformat(on), date.fromisoformat(until)
    return (last.year - first.year) * 12 + last.month - first.month + (last.day > first.day)
