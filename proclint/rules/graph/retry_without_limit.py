"""A loop through a failure has an end.

"If it fails, repeat" uses up chips, attempts and the battery. A step with `tries` is entered that many times more and
then spent; `for-each` and `repeat` end by themselves.

```yaml bad
steps:
  learn-it: {do: learn N1, then: all-right, fails: seat-it}  # <- Nothing ends the tries at 'learn-it'.
fallbacks:
  seat-it: {do: [make-sure ignition off, wait 10 s, make-sure ignition on], then: learn-it}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: seat-it}
fallbacks:
  seat-it:
    tries: 1
    do: [make-sure ignition off, wait 10 s, make-sure ignition on]
    ways: {done: learn-it, spent: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted, told


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def retry_without_limit(flow: Flow, study: Study) -> Iterator[Result]:
    """Find loops through a failure that no number ends."""
    for loop in study.endless_retries:
        if loop.hands_over:
            continue
        first = loop.failing
        yield Result(
            f"Nothing ends the tries at '{first.name}'.",
            at=first.at,
            change=f"Write 'tries: 1' and 'spent:' at {quoted(loop.names[1:2] or loop.names)}.",
            why=f"The way goes round through {quoted(loop.names)} and back.",
            subject=first.name,
            trace=told(study.graph, loop.way),
        )
