"""Two lines of one step that can fail in different ways are two steps.

Where one step removes a key, inserts another, opens a session and learns, its one way for failing cannot say which of
them failed, and what helps after one does harm after another.

```yaml bad
steps:
  do-it: {do: [open-session, learn N1], then: all-right, fails: open-again}  # <- Two things can fail in 'do-it', and one way serves both.
fallbacks:
  open-again: {tries: 1, do: wait 30 s, ways: {done: do-it, spent: not-learned}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
steps:
  open: {do: open-session, fails: open-again}
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
fallbacks:
  open-again: {tries: 1, do: wait 30 s, ways: {done: open, spent: not-learned}}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study, fails_by_itself
from proclint.model import Flow, Line
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import quoted


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def compound_step(flow: Flow, study: Study) -> Iterator[Result]:
    """Find steps with a write and something else that can fail, outside timed parts."""
    timed = {name for region in study.written.regions for name in region.steps}
    for step in flow.steps.values():
        failing = [line for line in step.lines if fails_by_itself(line)]
        if step.name in timed or not _need_different_ways(failing):
            continue
        yield Result(
            f"Two things can fail in '{step.name}', and one way serves both.",
            at=step.at,
            change="Make a step of each, with its own way for failing.",
            why=f"{quoted(line.text for line in failing)} can each fail.",
            subject=step.name,
            notes=tuple(Note(line.at, "This can fail.") for line in failing),
        )


def _need_different_ways(failing: list[Line]) -> bool:
    """Before a write nothing was changed, after it something may have been: the two want different ways."""
    return len({line.verb for line in failing}) > 1 and any(line.action.writes for line in failing)
