"""Harm to things is not called a danger.

Whoever reads DANGER above every module that may be erased stops reading at DANGER. WARNING and DANGER are for death and serious injury,
CAUTION for a small one; harm to things is a NOTICE (ANSI Z535.6).

```yaml bad
steps:
  look-on: {caution: [list], do: look hood, then: all-right}
cautions:
  list:
    signal: danger  # <- 'danger' is too strong a word where only 'erased' is said.
    hazard: The list of remotes is erased.
    consequence: Remotes that are not here stop working.
    avoid: Have all remotes here before you begin.
```

```yaml good
steps:
  look-on: {caution: [list], do: look hood, then: all-right}
cautions:
  list:
    signal: notice
    hazard: The list of remotes is erased.
    consequence: Remotes that are not here stop working.
    avoid: Have all remotes here before you begin.
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.caution_words import misjudged
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.READER)
def signal_word_too_high(flow: Flow, study: Study) -> Iterator[Result]:
    """Find signal words that cry wolf."""
    for each in misjudged(flow, study.catalogue, "too high"):
        yield Result(
            f"'{each.caution.signal}' is too strong a word where only '{each.told}' is said.",
            at=each.caution.at / "signal",
            change=f"Write 'signal: {each.fitting}'.",
            subject=each.caution.name,
        )
