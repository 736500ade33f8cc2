"""Nobody makes, learns or erases a key before the right to the vehicle is proven.

Whoever is asked for the papers after the key is learned has the key already. On every way the right is proven before the first code, cut,
erase or learn, and whoever cannot prove it is turned away with nothing done. It is an offence in most places to do otherwise; local law and the
conditions of a licence go before any procedure. Nobody can accept this away.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: off, cylinder: O1}
steps:
  cut-it: {do: cut-blade N1, then: all-right}  # <- The right to the vehicle is not proven before 'cut-blade N1'.
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: off, cylinder: O1}
steps:
  who: {follow: authority 3, fails: turned-away}
  cut-it: {do: cut-blade N1, then: all-right}
endings:
  all-right: {kind: success, tell: The blade is cut.}
  turned-away: {kind: as-found, tell: Nothing was touched.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.LIFE, never_accepted=True)
def ownership_proof_missing(flow: Flow, study: Study) -> Iterator[Result]:
    """Find codes, cuts, erases and learns for someone whose right is not proven; all of a file have one cause."""
    first = None
    for found in sorted(study.states.of("ownership-proof-missing"), key=lambda each: len(each.way)):
        result = broken(
            found,
            f"The right to the vehicle is not proven before '{found.demand.text}'.",
            change="Check it first, with 'check-id' and 'check-authorisation' or a block that does, and stop where it is refused.",
        )
        yield result._replace(because=first) if first is not None else result
        first = first or result.at
