"""What has to be done stands in a step, not in a caution only.

A caution says what can happen and how to avoid it. It is read once, or not at all by one who has done the job before; a movement of a
key that stands nowhere else is never made.

```yaml bad
steps:
  look-on: {caution: [wet-socket], do: look hood, then: all-right}
cautions:
  wet-socket:
    signal: notice
    hazard: Water in the socket shorts the tool.
    consequence: The tool can be destroyed.
    avoid: Take O1 out before you plug the tool.  # <- Only a caution says to 'Take O1 out'.
```

```yaml good
steps:
  take-out: {do: remove O1}
  look-on: {caution: [wet-socket], do: look hood, then: all-right}
cautions:
  wet-socket:
    signal: notice
    hazard: Water in the socket shorts the tool.
    consequence: The tool can be destroyed.
    avoid: Wipe the socket dry before you plug the tool.
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def action_hidden_in_caution(_: Flow, study: Study) -> Iterator[Result]:
    """Find what is to be done with a key and stands in no line."""
    for said, mention in study.words.hidden_doings:
        yield Result(
            f"Only a caution says to '{said.text[mention.start : mention.end]}'.",
            at=said.part(mention.start, mention.end),
            change="Write a line that does it, in the step where it belongs.",
        )
