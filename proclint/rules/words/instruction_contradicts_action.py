"""An instruction tells what its lines do: the same things, all of them, with the same key and position.

Where an instruction stands, it is printed in the place of the lines' own sentences. Whatever it leaves out is not done, and
whatever it says else is done, while all checks went by the lines.

```yaml bad
steps:
  wake:
    instruction: Turn O1 to accessory.  # <- The text says 'accessory', and the line says 'on'.
    do: turn O1 on
    then: all-right
```

```yaml good
steps:
  wake:
    instruction: Turn O1 to on.
    do: turn O1 on
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.instructions import Difference
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def instruction_contradicts_action(_: Flow, study: Study) -> Iterator[Result]:
    """Find what an instruction tells otherwise than its lines, what it adds and what it leaves out."""
    for each in study.words.differences:
        if each.kind != "number":
            yield Result(
                _message(each),
                at=each.said.part(each.start, each.end),
                change="Write in the instruction what the lines do, or delete it: then their own sentences are printed.",
                why=f"The lines say '{each.done}'." if each.kind == "verb" else "",
                subject=each.said.step.name if each.said.step is not None else "",
            )


def _message(each: Difference) -> str:
    if each.kind == "verb":
        return f"The text asks to '{_short(each.told)}', and no line does that."
    if each.kind == "left-out":
        return f"The text leaves out '{each.done}', so nobody does it."
    return f"The text says '{each.told}', and the line says '{each.done}'."


def _short(told: str) -> str:
    words = told.split()
    return " ".join(words[:4]) + (" ..." if len(words) > 4 else "")
