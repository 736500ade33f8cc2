"""Wrong codes stay fewer than those that lock the vehicle.

Every try counts, also those that somebody made before. The last one that the vehicle allows is not for us: after it the vehicle stands still
for an hour, and longer the next time.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,code-tries-to-lockout
Corvane,Halyard,2013-2017,3
# file example.yaml
start: {ignition: on, tool: plugged, session: open}
steps:
  before: {do: read wrong-codes as w, ways: {w <= 1: enter, otherwise: no-access, fails: no-access}}
  enter: {do: enter-code 4 digits, then: all-right, fails: once-more}
fallbacks:
  once-more: {do: enter-code 4 digits, then: all-right, fails: no-access}  # <- A wrong code at 'enter-code 4 digits' may lock the vehicle.
endings:
  all-right: {kind: success, tell: It works.}
  no-access: {kind: as-found, tell: The code was refused.}
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,code-tries-to-lockout,code-length
Corvane,Halyard,2013-2017,3,4
# file example.yaml
keys: {O: {kind: key, registered: true, here: 1}}
start: {ignition: on, tool: plugged, session: open}
steps:
  how-many: {do: count O}
  before: {do: read wrong-codes as w, ways: {w = 0: enter, otherwise: no-access, fails: no-access}}
  enter: {do: enter-code 4 digits, then: all-right, fails: once-more}
fallbacks:
  once-more: {do: [ask-authorised-source, enter-code 4 digits], then: all-right, fails: no-access}
endings:
  all-right: {kind: success, tell: It works.}
  no-access: {kind: as-found, tell: The code was refused.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, Level.WARNING, harm=Harm.TIME)
def attempts_reach_lockout(flow: Flow, study: Study) -> Iterator[Result]:
    """Find codes that are entered when a wrong one may lock the vehicle."""
    for found in study.states.of("attempts-reach-lockout"):
        message = f"A wrong code at '{found.demand.text}' may lock the vehicle."
        yield broken(found, message, change="Enter one code fewer, and read the number of wrong codes before the first.")
