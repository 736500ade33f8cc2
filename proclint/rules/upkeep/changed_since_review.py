"""What was reviewed is what stands there.

A review vouches for the text that the reviewer read. `of` names that text: the digest of the file without its `reviewed`. Whatever
is changed afterwards, a block that is followed in a newer version too, nobody has read.

```yaml bad
title: Another title than the one that was reviewed
reviewed: {by: m-02, date: 2026-03-11, of: "0123456789abcdef"}  # <- The review of 2026-03-11 saw another text.
```

A review of what stands there now bears its digest; comments, quotation marks and the order of names do not count:

```yaml good
reviewed: {by: m-02, date: 2026-03-11, of: "16212a7b35889163"}
```
"""

from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.model import Procedure, digest
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule


@file_rule(Level.NOTE, harm=Harm.TIME)
def changed_since_review(file: FileStudy) -> Iterator[Result]:
    """Compare the digest that the review names with that of the file."""
    reviewed = file.flow.reviewed if isinstance(file.flow, Procedure) else None
    if reviewed is None or not reviewed.of:
        return
    now = digest(file.at.node)
    if reviewed.of != now:
        yield Result(
            f"The review of {reviewed.date} saw another text.",
            at=reviewed.at / "of",
            change="Have the difference reviewed, and write the digest of what was read.",
            why=f"The digest of this text is {now}.",
        )
