"""What the lines count on is said at the beginning, under `start`.

Whoever comes to the vehicle finds it as it is. Where a line counts on a closed hood or a stopped engine and nobody said so, all that follows is
a guess. One word under `start` says it, or a line that looks.

```yaml bad
start: {ignition: on, cylinder: O1}
steps:
  look-in: {do: open-hood, then: all-right}  # <- Nobody says that 'engine' is stopped when 'open-hood' comes.
```

```yaml good
start: {ignition: on, cylinder: O1, engine: stopped}
steps:
  look-in: {do: [open-hood, put O1 pocket], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken, in_words, listed


@flow_rule(Level.NOTE, harm=Harm.READER)
def starts_from_unstated_state(flow: Flow, study: Study) -> Iterator[Result]:
    """Find what a line counts on and nobody stated, once for each variable, where it is first needed."""
    for found in study.states.unstated:
        name, good = in_words(found.demand.variable), listed(found.demand.good)
        yield broken(
            found,
            f"Nobody says that {name} is {good} when '{found.demand.text}' comes.",
            change="Write it under 'start', or look before this line.",
        )
