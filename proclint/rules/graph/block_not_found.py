"""A block that is followed exists, in the version that is asked for.

A procedure rests on its blocks: if the one it names is not there, nobody can do that step. If the block has moved on to a newer
version, somebody must look whether the procedure still fits and then name the new number.

```yaml bad
steps:
  may-i: {follow: authorty 3, fails: no-right}  # <- There is no block 'authorty' to follow.
  proof: {follow: authority 2, fails: no-right}  # <- 'authority' is at version 3, and this asks for 2.
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
from proclint.analysis.library import Use, uses_of
from proclint.catalogue.nearest import nearest
from proclint.model import Block, Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.DAMAGE)
def block_not_found(flow: Flow, study: Study) -> Iterator[Result]:
    """Find blocks that are not on the shelf, or there in another version."""
    for use in uses_of(flow):
        block = study.shelf.blocks.get(use.block)
        if use.block in study.shelf.broken:
            continue
        if block is None:
            near = nearest(use.block, study.shelf.blocks)
            change = f"Write '{near} {study.shelf.blocks[near].version}'." if near else "Write the block, or leave the step out."
            yield Result(f"There is no block '{use.block}' to follow.", at=use.at, change=change, subject=use.block)
        elif use.version and use.version != block.version:
            yield _other_version(use, block)


def _other_version(use: Use, block: Block) -> Result:
    return Result(
        f"'{block.id}' is at version {block.version}, and this asks for {use.version}.",
        at=use.at,
        change=f"Look at what changed in the block, then write '{block.id} {block.version}'.",
        subject=block.id,
        notes=(Note(block.at, f"The block is at version {block.version}."),),
    )
