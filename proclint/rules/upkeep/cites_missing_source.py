"""Every source that a file cites is in the register.

A source that is not registered cannot be looked up, dated or weighed; what rests on it rests on nothing.

```yaml bad
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2014-05-01}
# file example.yaml
sources: [halyard-handbok]  # <- Nobody can look up the source 'halyard-handbok'.
```

```yaml good
# file sources.yaml
sources:
  - {id: halyard-handbook, kind: handbook-or-bulletin, title: Owner's handbook, date: 2014-05-01}
# file example.yaml
sources: [halyard-handbook]
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.catalogue.nearest import nearest
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule


@library_rule(Level.ERROR, harm=Harm.TIME)
def cites_missing_source(library: LibraryStudy) -> Iterator[Result]:
    """Find sources that are cited and not registered, where there is a register."""
    if library.sources is None:
        return
    for extract in library.extracts:
        for cited in extract.cites:
            if cited.text not in library.sources:
                near = nearest(cited.text, sorted(library.sources))
                yield Result(
                    f"Nobody can look up the source '{cited.text}'.",
                    at=cited.at,
                    change=f"Write '{near}'." if near else "Enter it in sources.yaml.",
                    subject=cited.text,
                    because=extract.at,
                )
