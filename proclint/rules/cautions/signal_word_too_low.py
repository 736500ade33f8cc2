"""Danger to people is not called a notice.

A reader in a hurry weighs a caution by its first word. NOTICE is for things; CAUTION for a small injury; WARNING and DANGER are for death and
serious injury (ANSI Z535.6). Too low a word hides what is behind it.

```yaml bad
steps:
  look-on: {caution: [cell], do: look hood, then: all-right}
cautions:
  cell:
    signal: notice  # <- 'notice' is too weak a word where 'kill' is said.
    hazard: A child can swallow the cell.
    consequence: It can kill in hours.
    avoid: Put the cell in a closed box before you do anything else.
```

```yaml good
steps:
  look-on: {caution: [cell], do: look hood, then: all-right}
cautions:
  cell:
    signal: warning
    hazard: A child can swallow the cell.
    consequence: It can kill in hours.
    avoid: Put the cell in a closed box before you do anything else.
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.caution_words import misjudged
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.INJURY)
def signal_word_too_low(flow: Flow, study: Study) -> Iterator[Result]:
    """Find signal words that hide what can happen."""
    for each in misjudged(flow, study.catalogue, "too low"):
        yield Result(
            f"'{each.caution.signal}' is too weak a word where '{each.told}' is said.",
            at=each.caution.at / "signal",
            change=f"Write 'signal: {each.fitting}'.",
            subject=each.caution.name,
        )
