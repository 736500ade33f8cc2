"""What the screen asks is answered before anything else is done.

A screen that asks whether to keep the others waits for YES or NO. Whoever goes on without a word from the sheet presses what lies nearest, and
the wrong one erases. The prompt says in `answer` which it is.

```yaml bad
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  asked:
    prompt: {says: "KEEP OTHERS? Y/N", choices: {Y: add, N: replace-all}}
    do: look hood
  count-now: {do: read key as n, then: all-right, fails: as-it-was}  # <- The screen still waits for an answer at 'read key as n'.
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  asked:
    prompt: {says: "KEEP OTHERS? Y/N", choices: {Y: add, N: replace-all}, answer: Y}
    do: look hood
  count-now: {do: read key as n, then: all-right, fails: as-it-was}
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def prompt_not_answered(flow: Flow, study: Study) -> Iterator[Result]:
    """Find lines that are done while a prompt is, or may be, open."""
    for found in study.states.of("prompt-not-answered"):
        message = f"The screen still waits for an answer at '{found.demand.text}'."
        yield broken(found, message, change="Write the 'answer' of the prompt that comes before it.")
