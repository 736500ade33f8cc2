"""From every step some way leads to an ending.

Steps that only lead to one another keep a technician going round in the rain. It happens when two fallbacks each
believe that the other one ends the job.

```yaml bad
steps:
  open: {do: open-session, fails: check-plug}
  finish: {do: close-session, then: learned}
fallbacks:
  check-plug: {do: make-sure tool plugged, then: check-fuse}  # <- Whoever comes to 'check-plug' never gets to an ending.
  check-fuse: {do: {do: act look at the fuse of the socket, by: technician}, then: check-plug}
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: referred, tell: The socket is dead.}
```

```yaml good
steps:
  open: {do: open-session, fails: check-plug}
  finish: {do: close-session, then: learned}
fallbacks:
  check-plug: {do: make-sure tool plugged, then: check-fuse}
  check-fuse: {do: {do: act look at the fuse of the socket, by: technician}, then: not-learned}
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: referred, tell: The socket is dead.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.causes import of_trap
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted, told


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def no_way_to_an_ending(flow: Flow, study: Study) -> Iterator[Result]:
    """Find where one can get in and never out."""
    for trap in study.traps:
        if not trap.entry.is_own:
            continue
        names = [node.name for node in trap.nodes if node.is_own and node != trap.entry]
        ending = next(iter(flow.ends), "an ending")
        yield Result(
            f"Whoever comes to '{trap.entry.name}' never gets to an ending.",
            at=trap.entry.at,
            change=f"Lead a way from '{trap.entry.name}' to an ending such as '{ending}'.",
            why=f"It leads on to {quoted(names)} only." if names else "It leads nowhere else.",
            subject=trap.entry.name,
            trace=told(study.graph, trap.way),
            because=of_trap(trap, flow),
        )
