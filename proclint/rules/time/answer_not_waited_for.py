"""In a timed part the vehicle's answer is waited for before the next press.

The press that falls into the answer is not counted, or is counted as part of it. Between two presses of one remote stands
what must be heard or seen first.

```yaml bad
windows: {press: {at-most: 20 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: [keep O1 LOCK 2-4 s, {do: keep O1 UNLOCK 2-4 s, closes: press}], then: all-right}  # <- Nothing is waited for after 'keep O1 LOCK 2-4 s'.
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
windows: {press: {at-most: 20 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  lock-it: {do: {do: keep O1 LOCK 2-4 s, expect: the locks click once, within: 2 s}, fails: too-late}
  press-it: {do: {do: keep O1 UNLOCK 2-4 s, closes: press}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def answer_not_waited_for(_: Flow, study: Study) -> Iterator[Result]:
    """Find presses in a timed part that follow another of the same remote with nothing between."""
    for slip in study.times.slips.of("no-answer"):
        yield Result(
            f"Nothing is waited for after '{slip.words}'.",
            at=slip.at,
            change="Write 'expect:' with the vehicle's answer at the press before, or a wait between the two.",
            subject=slip.step,
        )
