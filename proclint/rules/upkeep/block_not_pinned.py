"""A procedure names the version of each block that it follows.

A shared block changes under all the procedures that follow it. With its number written down, the change shows in each
of them, and somebody looks whether it still fits.

```yaml bad
steps:
  may-i: {follow: authority, fails: no-right}  # <- 'authority' can change here without anybody seeing it.
  look-on: {do: look hood, then: all-right}
endings:
  all-right: {kind: success, tell: It works.}
  no-right: {kind: as-found, tell: Nothing was touched.}
```

```yaml good
steps:
  may-i: {follow: authority 3, fails: no-right}
  look-on: {do: look hood, then: all-right}
endings:
  all-right: {kind: success, tell: It works.}
  no-right: {kind: as-found, tell: Nothing was touched.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.library import uses_of
from proclint.model import Flow
from proclint.results import Edit, Fix, Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.DAMAGE)
def block_not_pinned(flow: Flow, study: Study) -> Iterator[Result]:
    """Find calls of blocks without a version."""
    for use in uses_of(flow):
        block = study.shelf.blocks.get(use.block)
        if use.version:
            continue
        pinned = f"{use.block} {block.version}" if block is not None else f"{use.block} 1"
        yield Result(
            f"'{use.block}' can change here without anybody seeing it.",
            at=use.at,
            change=f"Write '{pinned}'.",
            subject=use.block,
            fixes=(Fix("Name the version that is there today.", (Edit(use.at, pinned),)),) if block is not None else (),
        )
