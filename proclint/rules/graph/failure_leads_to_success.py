"""After a failure, no way ends in success unless what failed was done again.

A way that goes from "the new key does not start" to the ending where the vehicle is handed over sends the customer off
with a key that failed. Either what failed is passed again and works, or the ending is another one.

```yaml bad
steps:
  try-it: {do: start N1, then: all-right, fails: note-it}  # <- 'try-it' fails, and the job still ends as 'all-right'.
fallbacks:
  note-it: {do: tell-customer, then: all-right}
endings:
  all-right: {kind: success, tell: The new key starts the vehicle.}
```

```yaml good
steps:
  try-it: {do: start N1, then: all-right, fails: note-it}
fallbacks:
  note-it: {do: tell-customer, then: not-started}
endings:
  all-right: {kind: success, tell: The new key starts the vehicle.}
  not-started: {kind: not-as-found, tell: The new key does not start the vehicle.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Procedure
from proclint.results import Harm, Level, Note, Result
from proclint.rule import procedure_rule
from proclint.telling import told


@procedure_rule(Level.ERROR, harm=Harm.NO_KEY)
def failure_leads_to_success(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Find writes and tests whose failing leads to a success without their being passed again."""
    for found in study.false_successes:
        yield Result(
            f"'{found.node.name}' fails, and the job still ends as '{found.ending.name}'.",
            at=found.node.at,
            change="Lead the failing way to an ending of another kind, or back through the step that failed.",
            subject=found.node.name,
            notes=(Note(found.ending.at, "This ending says that it worked."),),
            trace=told(study.graph, found.way),
        )
