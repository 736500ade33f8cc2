"""Every way bears an outcome that the step can have.

A way for an answer that never comes is never taken, and the answer that does come has no way. Answers are those of the
step's last line that looks, reads or tests; a condition compares counts and variables.

```yaml bad
steps:
  look-there:
    do: look hood
    ways: {open: all-right, shut: all-right}  # <- 'look-there' never ends with 'shut'.
```

```yaml good
steps:
  look-there:
    do: look hood
    ways: {open: all-right, closed: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import RESERVED, Study, WrittenStep, read_condition
from proclint.analysis.causes import of_unknown_exit
from proclint.catalogue.nearest import nearest
from proclint.model import Flow
from proclint.results import Harm, Level, Note, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def unknown_outcome(flow: Flow, study: Study) -> Iterator[Result]:
    """Find ways whose outcome the step cannot have."""
    for each in study.written.steps.values():
        if each.step.ask:
            continue
        for way in each.step.ways:
            known = (*each.outcomes.known, *RESERVED)
            if way.outcome in known or read_condition(way.outcome, study.catalogue) is not None:
                continue
            because = of_unknown_exit(each, way.outcome, study.shelf)
            near = nearest(way.outcome, each.outcomes.known)
            yield Result(
                f"'{each.step.name}' never ends with '{way.outcome}'.",
                at=(each.step.at / "ways").key(way.outcome),
                change=f"Write '{near}'." if near else _choice(each),
                subject=way.outcome,
                notes=(Note(because, "This is where that exit would come from."),) if because is not None else (),
                because=because,
            )


def _choice(each: WrittenStep) -> str:
    if each.outcomes.known:
        return f"Write one of: {', '.join(each.outcomes.known)}, otherwise."
    return "Write 'done', 'fails' or a condition such as 'n < 4'."
