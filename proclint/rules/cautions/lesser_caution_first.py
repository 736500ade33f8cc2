"""Of several cautions at one step the gravest stands first.

Who reads only the first box reads about hot parts, and not that the vehicle can move. Where several stand together, what can kill comes
before what can hurt, and that before what can break (MIL-DTL-23618H has the order: warning, caution, note).

```yaml bad
steps:
  look-on:
    caution: [hot-parts, hybrid-silent-ready]  # <- 'hybrid-silent-ready' stands behind a lesser caution, and is read last.
    do: look hood
    then: all-right
```

```yaml good
steps:
  look-on: {caution: [hybrid-silent-ready, hot-parts], do: look hood, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.caution_words import out_of_order
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.INJURY)
def lesser_caution_first(flow: Flow, study: Study) -> Iterator[Result]:
    """Find steps at which a lesser caution stands before a graver one."""
    for step, lesser, graver in out_of_order(flow, study.catalogue):
        yield Result(
            f"'{graver.text}' stands behind a lesser caution, and is read last.",
            at=graver.at,
            change=f"Write '{graver.text}' before '{lesser.text}'.",
            subject=step.name,
        )
