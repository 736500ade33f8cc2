"""What the screen asks for is what is done, or a note says what it means.

Where the screen says one thing and the sheet another, one technician believes the screen and the next one the sheet. `means` tells
them both.

```yaml bad
steps:
  wake:
    prompt: {says: IGNITION OFF}  # <- The screen asks for 'IGNITION OFF', and something else is done.
    do: turn O1 on
    then: all-right
```

```yaml good
steps:
  wake:
    prompt: {says: IGNITION OFF, means: "The ignition has been off all the while: turn O1 on now."}
    do: turn O1 on
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def prompt_contradicts_action(_: Flow, study: Study) -> Iterator[Result]:
    """Find prompts without a note whose literal reading is not what is done."""
    for each in study.words.prompt_faults:
        if each.kind == "contradicts":
            yield Result(
                f"The screen asks for '{each.asked}', and something else is done.",
                at=each.prompt.at / "says",
                change="Do what it asks for, or write under 'means' what is to be done and why.",
                why=f"What is done: '{each.done}'.",
                subject=each.step.name,
            )
