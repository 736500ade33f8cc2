"""Two fallbacks do not send the reader to one another for ever.

Each of them is half right: when variant A does not answer, try B; when B does not answer, try A. Together they have no
end. One of them must count its tries, or lead on to something else.

```yaml bad
steps:
  open: {do: open-session, then: all-right, fails: take-a}
fallbacks:
  take-a: {do: [select A, open-session], then: all-right, fails: take-b}  # <- 'take-a' and 'take-b' send the reader to one another for ever.
  take-b: {do: [select B, open-session], then: all-right, fails: take-a}
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```

```yaml good
steps:
  open: {do: open-session, then: all-right, fails: take-a}
fallbacks:
  take-a: {do: [select A, open-session], then: all-right, fails: take-b}
  take-b: {do: [select B, open-session], then: all-right, fails: silent}
endings:
  all-right: {kind: success, tell: The session was open.}
  silent: {kind: referred, tell: The vehicle does not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import quoted, told


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def fallback_ping_pong(flow: Flow, study: Study) -> Iterator[Result]:
    """Find endless loops in which each of several steps hands over to the next when it fails."""
    for loop in study.endless_retries:
        if not loop.hands_over:
            continue
        yield Result(
            f"{quoted(loop.names)} send the reader to one another for ever.",
            at=loop.failing.at,
            change=f"Lead '{loop.names[-1]}' to an ending or another step when it fails, or give one of them 'tries'.",
            why="No number of tries is written on this way.",
            subject=loop.failing.name,
            trace=told(study.graph, loop.way),
        )
