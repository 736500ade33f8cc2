"""When all tries are used up, a way leads on.

A step whose tries are spent hands over to another; if that one is spent too and hands back, nobody gets any further.

```yaml bad
steps:
  learn-it: {do: learn N1, then: all-right, fails: seat-it}
fallbacks:
  seat-it: {tries: 1, do: wait 10 s, ways: {done: learn-it, spent: clean-it}}  # <- When its tries are used up, 'seat-it' leads round in a ring.
  clean-it: {tries: 1, do: wait 10 s, ways: {done: learn-it, spent: seat-it}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: seat-it}
fallbacks:
  seat-it: {tries: 1, do: wait 10 s, ways: {done: learn-it, spent: clean-it}}
  clean-it: {tries: 1, do: wait 10 s, ways: {done: learn-it, spent: not-learned}}
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
from proclint.telling import quoted


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def spent_in_a_ring(flow: Flow, study: Study) -> Iterator[Result]:
    """Find steps whose tries are bounded but that hand over, spent, to one another; and those that say nothing for it."""
    for each in study.written.steps.values():
        for leaving in each.exits:
            if leaving.outcome == "spent" and not leaving.target:
                yield Result(
                    f"Nothing says what comes when the tries of '{each.step.name}' are used up.",
                    at=each.step.at,
                    change="Write 'spent:' under 'ways' with the step that comes then.",
                    subject=each.step.name,
                )
    for ring in study.spent_rings:
        first = ring[0]
        yield Result(
            f"When its tries are used up, '{first.name}' leads round in a ring.",
            at=first.at,
            change=f"Lead '{ring[-1].name}' to an ending when its tries are used up.",
            why=f"Spent, {quoted(node.name for node in ring)} hand over to one another.",
            subject=first.name,
        )
