"""A change is held to the bar that stood before it.

Whoever changes a procedure and, in the same breath, turns off the rule that speaks against it has judged their own work. The gate
therefore takes levels and accepted results as they stood before, and tells here what the change lowers: a rule told at a lower level
or turned off, a higher failing level, a result newly accepted or accepted for longer, a finished procedure that calls itself a draft
again. Nothing mends it but to leave it out; whoever keeps the library may decide for it and take the change all the same, so it
should be a change of its own. A file headed `before` is the one that stood before the change.

```yaml bad
# before library.yaml
name: A book
# file library.yaml
name: A book
levels: {bar-lowered: off}  # <- 'bar-lowered' is lowered from error to off by this change.
```

```yaml bad
# before library.yaml
name: A book
failing-level: warning
# file library.yaml
name: A book
failing-level: error  # <- A check would fail from error on; it is warning before this change.
```

```yaml bad
# before library.yaml
name: A book
# file accepted.yaml
- {rule: review-expired, in: example, because: The author is on the road., by: m-02, on: 2026-03-01, until: 2026-12-31}  # <- This change itself accepts 'review-expired' in 'example'.
# file library.yaml
name: A book
```

```yaml bad
# before example.yaml
stage: bench-proven
# file example.yaml
stage: draft  # <- 'example' calls itself a draft again.
```

```yaml good
# before library.yaml
name: A book
levels: {bar-lowered: off}
# file library.yaml
name: A book
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy, Lowered
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, harm=Harm.DAMAGE, never_accepted=True)
def bar_lowered(library: LibraryStudy) -> Iterator[Result]:
    """Tell what a change lowers of the bar that it is held to."""
    for each in library.lowered:
        said, change = _told(each)
        yield Result(said, at=each.at, change=change, subject=each.subject or each.what)


def _told(each: Lowered) -> tuple[str, str]:
    if each.what == "accepted":
        said = f"This change itself accepts '{each.subject}' in '{each.within}'."
        return said, "Mend what is found, or have it accepted by a change of its own."
    if each.what == "draft":
        return f"'{each.within}' calls itself a draft again.", "Leave its stage as it was."
    if each.what == "failing-level":
        said = f"A check would fail from {each.now} on; it is {each.before} before this change."
        return said, "Leave the failing level as it was."
    said = f"'{each.subject}' is lowered from {each.before} to {each.now} by this change."
    return said, "Leave its level as it was."
