"""A copy is no second source.

What two sheets say, of which one was written off the other, one source says. A procedure that cites both looks better founded than it is.

```yaml bad
# file sources.yaml
sources:
  - {id: some-video, kind: training-sheet, title: A video, date: 2019-05-01}
  - {id: hand-out, kind: training-sheet, title: A hand-out, date: 2020-05-01, copied-from: [some-video]}
# file example.yaml
sources: [some-video, hand-out]  # <- 'some-video' and 'hand-out' are one source.
```

```yaml good
# file sources.yaml
sources:
  - {id: some-video, kind: training-sheet, title: A video, date: 2019-05-01}
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2013-05-01}
# file example.yaml
sources: [some-video, halyard-handbook]
```
"""

from collections.abc import Iterator

from proclint.analysis.facts.sources import voices
from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling import quoted


@library_rule(Level.WARNING, harm=Harm.TIME)
def derived_sources_counted_twice(library: LibraryStudy) -> Iterator[Result]:
    """Find procedures all of whose sources repeat one another."""
    for job in library.jobs:
        cited = job.job.sources
        told = voices((word.text for word in cited), library.evidence.register)
        if len(cited) > 1 and len(told) == 1:
            yield Result(
                f"{quoted(told[0])} are one source.",
                at=cited[1].at,
                change="Cite the one that the other was copied from, and look for another that is independent.",
                why="One was copied from the other, both from a third, or one member saw both.",
            )
