"""A fob is tried with every other fob out of reach.

The new fob "works" because the old one is in a pocket. It was never learned. The others are carried away or put in a pouch before the test.

```yaml bad
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}]
keys: {O: {kind: fob, registered: true, here: 1}, N: {kind: fob, registered: false, here: 1}}
start: {ignition: off}
steps:
  lay-down: {do: put O1 pocket}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: dead}}  # <- O1 is near, and may answer in its place at 'start N1'.
endings:
  all-right: {kind: success, tell: N1 works.}
  dead: {kind: not-as-found, tell: N1 does not work.}
```

```yaml good
vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}]
keys: {O: {kind: fob, registered: true, here: 1}, N: {kind: fob, registered: false, here: 1}}
start: {ignition: off}
steps:
  carry-away: {do: put O1 far}
  try-it: {do: start N1, ways: {runs: all-right, otherwise: dead}}
endings:
  all-right: {kind: success, tell: N1 works.}
  dead: {kind: not-as-found, tell: N1 does not work.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def verify_with_other_key_near(flow: Flow, study: Study) -> Iterator[Result]:
    """Find tests of a fob while another that is registered is, or may be, near."""
    for found in study.states.of("verify-with-other-key-near"):
        key = found.demand.variable.rpartition(".")[0]
        surely = "is" if found.grade == "must" else "may be"
        yield broken(
            found,
            f"{key} {surely} near, and may answer in its place at '{found.demand.text}'.",
            change=f"Put {key} in a pouch or far away first; 'isolate' does it for all keys but one.",
        )
