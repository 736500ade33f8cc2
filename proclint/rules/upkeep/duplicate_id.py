"""No two files bear one id.

A result, an acceptance, a call of a block: all of them name a file by its id. With two of one id, nobody knows which of
them is meant.

```yaml bad
# file one.yaml
id: corvane-halyard-add-key
# file two.yaml
id: corvane-halyard-add-key  # <- 'corvane-halyard-add-key' is the id of two files.
```

```yaml good
# file one.yaml
id: corvane-halyard-add-key
# file two.yaml
id: corvane-halyard-add-remote
```
"""

from collections.abc import Iterator

from proclint.analysis.library import Extract, LibraryStudy
from proclint.results import Harm, Level, Note, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, harm=Harm.TIME)
def duplicate_id(library: LibraryStudy) -> Iterator[Result]:
    """Find ids that stand in more than one file."""
    first: dict[str, Extract] = {}
    for extract in library.extracts:
        known = first.setdefault(extract.id, extract)
        if known is not extract:
            yield Result(
                f"'{extract.id}' is the id of two files.",
                at=extract.at,
                change="Give one of them another id.",
                subject=extract.id,
                notes=(Note(known.at, "The other one stands here."),),
            )
