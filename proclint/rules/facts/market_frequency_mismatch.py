"""A remote is on the frequency of its market.

A remote on another frequency is never heard, however often it is learned. One vehicle has two frequencies where it is sold in two
markets; the parts of the procedure say which remote goes where.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,markets,frequency
Corvane,Halyard,2013-2017,region-1,315
Corvane,Halyard,2013-2017,region-2,433.92
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: remote, registered: false, here: 1, frequency: 433.92 MHz}}  # <- In region-1 the vehicle never hears this remote: 315 MHz.
steps: {how-many: {do: count N, then: all-right}}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,markets,frequency
Corvane,Halyard,2013-2017,region-1,315
Corvane,Halyard,2013-2017,region-2,433.92
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: remote, registered: false, here: 1, frequency: 315 MHz}}
steps: {how-many: {do: count N, then: all-right}}
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def market_frequency_mismatch(library: LibraryStudy) -> Iterator[Result]:
    """Find parts on another frequency than the vehicles have in a market."""
    for found, said in held_against(library, relations=("part-on-frequency",)):
        yield against_table(
            found,
            library.evidence,
            f"In {found.where(library.evidence.space, 'markets')} the vehicle never hears this remote: {said} MHz.",
            change="Give each market its frequency, or narrow the markets to those of this part.",
            about="part-frequency",
        )
