"""Some way leads to every step.

A step to which nothing leads is mostly a fallback whose way was forgotten: somebody knew what to do, wrote it down,
and nobody will ever be sent there. What only such a step leads to is not told again; it is named with it.

```yaml bad
steps:
  open: {do: open-session, fails: not-learned}
  finish: {do: close-session, then: learned}
fallbacks:
  other-variant: {do: select B, ways: {done: finish, fails: not-learned}}  # <- Nobody is ever sent to 'other-variant'.
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  open: {do: open-session, fails: other-variant}
  finish: {do: close-session, then: learned}
fallbacks:
  other-variant: {do: select B, ways: {done: finish, fails: not-learned}}
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.causes import of_cut_off
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted


@flow_rule(Level.WARNING, harm=Harm.TIME)
def unreachable_step(flow: Flow, study: Study) -> Iterator[Result]:
    """Find the steps and endings that no way reaches, each with what hangs on it."""
    for cut_off in study.cut_off:
        also = [node.name for node in cut_off.behind]
        yield Result(
            f"Nobody is ever sent to '{cut_off.head.name}'.",
            at=cut_off.head.at,
            change=f"Lead a way to '{cut_off.head.name}', or delete it.",
            why=f"Only it leads on to {quoted(also)}." if also else "",
            subject=cut_off.head.name,
            because=of_cut_off(cut_off.head, study),
        )
