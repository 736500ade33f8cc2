"""Where two ways meet, what is written behind fits both of them.

The main line is written with the usual way in mind, and read on the other one too: there "turn to on" meets an ignition that is on. One of the
two ways has to end as the other does, or the line has to be one that fits both.

```yaml bad
steps:
  ready: {do: plug tool}
  switch-on: {do: turn O1 on}  # <- 'turn O1 on' fits only after 'ready', not after 'again'.
  open: {do: open-session, then: all-right, fails: again}
fallbacks:
  again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: switch-on, spent: silent}}
endings:
  all-right: {kind: success, tell: It works.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
steps:
  ready: {do: plug tool}
  switch-on: {do: make-sure ignition on}
  open: {do: open-session, then: all-right, fails: again}
fallbacks:
  again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: switch-on, spent: silent}}
endings:
  all-right: {kind: success, tell: It works.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.WARNING, harm=Harm.TIME)
def state_differs_by_way(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that set what is so already on one way to them, and on another not."""
    for each in study.by_way("turn-to-current-state"):
        if each.right is not None:
            is_same = each.right[0] == each.wrong[0]
            right, wrong = (_after(name, outcome if is_same else "") for name, outcome in (each.right, each.wrong))
            message = f"'{each.finding.demand.text}' fits only {right}, not {wrong}."
            yield broken(each.finding, message, change="Let both ways end alike, or write 'make-sure' here.")


def _after(name: str, outcome: str) -> str:
    shown = f" ({outcome})" if outcome else ""
    return f"after '{name}'{shown}" if name else "at the beginning"
