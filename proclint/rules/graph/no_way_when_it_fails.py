"""Every step that can fail says what then.

Whoever improvises after a failed learn, erase or code is how control units and keys die. Equipment and vehicle can
always refuse, and a sign that is waited for can stay away; the step says where that leads. A learn, an erase, a code, a session, a
test or anything inside a window is an error without it, other steps are a warning.

```yaml bad
steps:
  learn-it: {do: learn N1, then: all-right}  # <- Nothing says what to do when 'learn N1' fails.
```

```yaml good
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.causes import forgotten_ways
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import told

# Beside what writes and what proves: the ways to be given access.
_ACCESS = frozenset({"open-session", "enter-code", "wait-access"})


@flow_rule(Level.ERROR, Level.WARNING, harm=Harm.NO_KEY)
def no_way_when_it_fails(flow: Flow, study: Study) -> Iterator[Result]:
    """Find the steps that can fail and have no way for it."""
    timed = {name for region in study.written.regions for name in region.steps}
    for each, line in forgotten_ways(study.written):
        is_grave = line.action.writes or line.action.proves or line.verb in _ACCESS or each.step.name in timed
        yield Result(
            f"Nothing says what to do when '{line.text}' fails.",
            at=line.at,
            change="Write 'fails:' with the step that comes then.",
            why=f"It waits for a sign: {line.expect}." if line.expect else f"The {line.by} may refuse it.",
            subject=each.step.name,
            level=Level.ERROR if is_grave else Level.WARNING,
            trace=told(study.graph, study.way_to(each.step.name)),
        )
