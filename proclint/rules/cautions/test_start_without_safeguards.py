"""No engine is started before it is known where the exhaust gas goes.

In a closed garage the gas kills within minutes, and nobody smells it. On every way to a start someone has looked where the vehicle stands and
has opened the doors or pushed it outside. Nobody can accept this away.

```yaml bad
steps:
  begin: {do: look ventilation, ways: {outdoors: run, otherwise: run, fails: run}}
  run: {caution: [engine-run-enclosed], do: start O1, ways: {runs: all-right, otherwise: it-does-not}}  # <- At 'start O1' the exhaust gas may stay in the room.
endings:
  all-right: {kind: success, tell: It runs.}
  it-does-not: {kind: as-found, tell: It does not run.}
```

```yaml good
steps:
  begin: {do: look ventilation, ways: {outdoors: run, otherwise: it-does-not, fails: it-does-not}}
  run: {caution: [engine-run-enclosed], do: start O1, ways: {runs: all-right, otherwise: it-does-not}}
endings:
  all-right: {kind: success, tell: It runs.}
  it-does-not: {kind: as-found, tell: It does not run.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.LIFE, never_accepted=True)
def test_start_without_safeguards(flow: Flow, study: Study) -> Iterator[Result]:
    """Find starts in a room that is, or may be, closed."""
    for found in study.states.of("test-start-without-safeguards"):
        yield broken(
            found,
            f"At '{found.demand.text}' the exhaust gas may stay in the room.",
            change="Look at the ventilation before it, and lead every way that is not outdoors or open to one that stops.",
        )
