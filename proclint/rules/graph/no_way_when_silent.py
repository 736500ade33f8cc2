"""The first contact with the vehicle has a way for silence that tries something.

No answer is the commonest failure of all, and mostly it is the plug, the ignition or the other variant, not the
vehicle. Before anyone is sent away, one more attempt is made in another way.

```yaml bad
steps:
  open: {do: open-session, then: all-right, fails: silent}  # <- When the vehicle stays silent, nothing else is tried.
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
steps:
  open: {do: open-session, then: all-right, fails: plug-again}
fallbacks:
  plug-again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: open, spent: silent}}
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow, Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import told


@procedure_rule(Level.ERROR, harm=Harm.TIME)
def no_way_when_silent(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Find the first sessions whose failing leads straight to an ending."""
    for silence in study.silences:
        flow: Flow = procedure
        ending = flow.ends[silence.ending]
        yield Result(
            "When the vehicle stays silent, nothing else is tried.",
            at=silence.node.at,
            change="Lead 'fails' to a fallback: plug, ignition, fuse, or the other variant, once.",
            why=f"'{silence.node.name}' is the first contact, and its failing leads to '{ending.name}'.",
            subject=silence.node.name,
            trace=told(study.graph, silence.way),
        )
