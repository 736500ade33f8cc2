"""After a change something is tried on the ways that fail, too.

When a learn has failed, what still works is most in doubt; and just there many procedures stop. The keys that are here are tried before such an
ending, so that the customer can be told which of them start the vehicle.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-added}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-added: {kind: not-as-found, tell: The new key was not learned.}  # <- Nobody knows which keys still work when the job ends here.
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: leave}
fallbacks:
  leave: {do: [make-sure session none, turn N1 off, remove N1, insert O1], then: try-it}
  try-it: {do: start O1, ways: {runs: not-added, otherwise: dead}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-added: {kind: not-as-found, tell: The new key was not learned; the old one works.}
  dead: {kind: not-as-found, tell: The old key does not start the vehicle.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken


@procedure_rule(Level.ERROR, harm=Harm.NO_KEY)
def proof_only_on_success(_: Procedure, study: Study) -> Iterator[Result]:
    """Find endings other than success behind a change, before which nothing was tried since."""
    for found in study.states.of("proof-only-on-success"):
        yield broken(
            found,
            "Nobody knows which keys still work when the job ends here.",
            change="Try every key that is here before this ending, as on the way to success.",
        )
