"""Every accepted result is still there.

What was accepted and no longer occurs stays behind as a blank cheque: it would hide the next fault of that kind in that
place. The same holds for one whose time has run out. What nobody may silence (a file of the wrong form, a customer's
data) is an error here.

```yaml bad
# file accepted.yaml
- {rule: review-expired, in: example, because: The author is on the road., by: m-02, on: 2026-03-01, until: 2026-12-31}  # <- 'review-expired' is accepted in 'example', and does not occur there.
# file example.yaml
reviewed: {by: m-02, date: 2026-02-11}
```

```yaml good
# file accepted.yaml
- {rule: review-expired, in: example, because: The author is on the road., by: m-02, on: 2026-03-01, until: 2026-12-31}
# file example.yaml
written: {by: m-07, date: 2024-02-02}
reviewed: {by: m-02, date: 2024-02-11}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, Level.NOTE, harm=Harm.TIME, never_accepted=True)
def accepted_in_vain(library: LibraryStudy) -> Iterator[Result]:
    """Find acceptances that met no result, and those whose day has passed."""
    for accepted in library.in_vain:
        if accepted.rule in library.never_accepted:
            said = f"'{accepted.rule}' can be accepted by nobody."
            yield Result(said, at=accepted.at, change="Mend what it finds, and delete this.", subject=accepted.rule)
            continue
        is_over = bool(accepted.until) and accepted.until < library.on
        yield Result(
            f"What was accepted for '{accepted.rule}' ended on {accepted.until}."
            if is_over
            else f"'{accepted.rule}' is accepted in '{accepted.within}', and does not occur there.",
            at=accepted.at,
            change="Mend what was accepted, or accept it anew." if is_over else "Delete it.",
            subject=accepted.rule,
            level=Level.NOTE,
        )
