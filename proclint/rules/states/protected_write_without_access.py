"""Nothing is learned or erased before the vehicle has given access.

Without the code, or the wait that stands for it, the vehicle rejects the write, and many count it as an attempt. The code step is on the
usual way; the way that jumps over it is the one of the other variant.

```yaml bad
steps:
  fetch: {do: ask-authorised-source, fails: as-it-was}
  open: {do: [turn O1 on, plug tool, open-session], fails: no-answer}
  which: {ask: Does the screen show a field for the code?, ways: {shown: enter, not-shown: clear}}
  enter: {do: enter-code 5 digits, fails: as-it-was}
  clear: {do: erase remotes, then: all-right, fails: not-erased}  # <- 'erase remotes' comes while 'access' is locked.
fallbacks:
  no-answer: {tries: 1, do: [unplug tool, turn O1 off, wait 5 s], ways: {done: open, spent: as-it-was}}
endings:
  all-right: {kind: success, tell: The remotes are erased.}
  not-erased: {kind: not-as-found, tell: The remotes may be erased.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  fetch: {do: ask-authorised-source, fails: as-it-was}
  open: {do: [turn O1 on, plug tool, open-session], fails: no-answer}
  enter: {do: enter-code 5 digits, fails: as-it-was}
  clear: {do: erase remotes, expect: the screen shows REMOTES 0, then: all-right, fails: not-erased}
fallbacks:
  no-answer: {tries: 1, do: [unplug tool, turn O1 off, wait 5 s], ways: {done: open, spent: as-it-was}}
endings:
  all-right: {kind: success, tell: The remotes are erased.}
  not-erased: {kind: not-as-found, tell: The remotes may be erased.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, comes_while


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def protected_write_without_access(flow: Flow, study: Study) -> Iterator[Result]:
    """Find writes that come before the vehicle has given access."""
    for found in study.states.of("protected-write-without-access"):
        yield broken(found, comes_while(found), change="Lead this way through the code, or the wait, that gives access.")
