"""Work in free words says who does it.

The catalogue knows who does each of its actions. `act` is work that it does not know, so the line says whether the
technician, the equipment or the vehicle does it; else somebody does by hand what the vehicle does by itself.

```yaml bad
steps:
  cool: {do: act let the ring rest, then: all-right}  # <- Nobody knows who is to 'let the ring rest'.
```

```yaml good
steps:
  cool: {do: {do: act let the ring rest, by: technician}, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.TIME)
def actor_not_stated(flow: Flow, study: Study) -> Iterator[Result]:
    """Find free work without an actor."""
    for step in flow.steps.values():
        for line in (*step.lines, *step.meanwhile):
            if line.verb == "act" and not line.is_by_written:
                yield Result(
                    f"Nobody knows who is to '{line.words.get('text', line.text)}'.",
                    at=line.at,
                    change="Write 'by: technician', 'by: equipment' or 'by: vehicle'.",
                    subject=step.name,
                )
