"""Nobody is asked to be quicker than hands are.

A door is not opened in half a second by a man who also reads the sheet. Such a time makes a window look kept that nobody
keeps. The least times of the vocabulary are common practice, no source; a source that says otherwise deserves a second look.

```yaml bad
steps:
  out: {do: {do: open door-driver, takes: 0.2-0.5 s}, then: all-right}  # <- Nobody does 'open door-driver' in 0.2 s.
```

```yaml good
steps:
  out: {do: {do: open door-driver, takes: 1-2 s}, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.time.spoken import spoken
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def action_faster_than_hands(_: Flow, study: Study) -> Iterator[Result]:
    """Find times below the least that a hand needs."""
    for slip in study.times.slips.of("too-quick"):
        yield Result(
            f"Nobody does '{slip.words}' in {spoken(slip.said)}.",
            at=slip.at,
            change=f"Write at least {spoken(slip.known)}, or look again at the source.",
            subject=slip.step,
        )
