"""Nothing that a prompt asks for is done before it stands there.

The tool waits for the key to go in, and it went in a step ago. It waits for ever, or takes the next movement for this one.

```yaml bad
steps:
  put-in: {do: insert O1}
  wait-for-it: {prompt: {says: INSERT KEY}, do: wait 5 s, then: all-right}  # <- The screen asks for 'INSERT KEY' when it is done already.
start: {ignition: off, cylinder: empty}
```

```yaml good
steps:
  put-in: {prompt: {says: INSERT KEY}, do: insert O1, then: all-right}
start: {ignition: off, cylinder: empty}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def prompt_step_order_differs(_: Flow, study: Study) -> Iterator[Result]:
    """Find prompts that ask for what the step before has done."""
    for each in study.words.prompt_faults:
        if each.kind == "before":
            yield Result(
                f"The screen asks for '{each.asked}' when it is done already.",
                at=each.prompt.at / "says",
                change="Put the prompt into the step that does it.",
                why=f"It was done by '{each.done}' in the step before.",
                subject=each.step.name,
            )
