"""A term means one thing in a file.

A 'master' that is the original in one step and the new key in another makes the wrong key the one that is kept.

```yaml bad
steps:
  lay: {instruction: Put the master aside., do: put O1 aside}
  take: {instruction: Put the master in your pocket., do: put N1 pocket, then: all-right}  # <- 'master' is N1 here and O1 there.
start: {ignition: off, cylinder: empty}
```

```yaml good
steps:
  lay: {instruction: Put O1 aside., do: put O1 aside}
  take: {instruction: Put N1 in your pocket., do: put N1 pocket, then: all-right}
start: {ignition: off, cylinder: empty}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def term_used_two_ways(_: Flow, study: Study) -> Iterator[Result]:
    """Find terms that stand for one key in one step and for another in another."""
    for each in study.words.terms_used_two_ways:
        here, there = ", ".join(each.second_keys), ", ".join(each.first_keys)
        yield Result(
            f"'{each.second.text}' is {here} here and {there} there.",
            at=each.second.said.part(each.second.start, each.second.end),
            change=f"Write {each.word.write}.",
            subject=each.word.name,
            notes=(Note(each.first.said.part(each.first.start, each.first.end), f"Here it is {there}."),),
        )
