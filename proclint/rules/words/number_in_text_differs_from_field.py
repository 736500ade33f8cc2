"""The numbers of an instruction are those of its lines.

The technician does what the sentence says and the checks go by the line. Where one says three presses and the other four, every
check of this step was made for something else than what is done.

```yaml bad
steps:
  press-it:
    instruction: Press the trip switch 3 times.  # <- The text says '3 times', and the line says '4 times'.
    do: press trip 4 times
    then: all-right
```

```yaml good
steps:
  press-it:
    instruction: Press the trip switch 4 times.
    do: {do: press trip 4 times, takes: 3-4-6 s}
    then: all-right
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def number_in_text_differs_from_field(_: Flow, study: Study) -> Iterator[Result]:
    """Find counts, times, voltages and digits that differ between text and line."""
    for each in study.words.differences:
        if each.kind == "number":
            yield Result(
                f"The text says '{each.told}', and the line says '{each.done}'.",
                at=each.said.part(each.start, each.end),
                change="Write one value in both, the one that the source gives.",
                subject=each.said.step.name if each.said.step is not None else "",
            )
