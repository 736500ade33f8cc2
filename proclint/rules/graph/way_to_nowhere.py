"""Every way leads to a step, an ending or an exit that exists.

A name that is nowhere written is found at the vehicle, and mostly when something has gone wrong already: the way
that names it is the one taken after a failure. The last step of the main line falls through to nothing, so it too
says where it goes.

```yaml bad
steps:
  start-session: {do: open-session, fails: try-agian}  # <- Whoever takes this way finds no step 'try-agian'.
  finish: {do: close-session, then: learned}
fallbacks:
  try-again: {tries: 1, do: [wait 30 s, open-session], ways: {done: finish, fails: not-learned}}
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
steps:
  start-session: {do: open-session, fails: try-again}
  finish: {do: close-session, then: learned}
fallbacks:
  try-again: {tries: 1, do: [wait 30 s, open-session], ways: {done: finish, fails: not-learned}}
endings:
  learned: {kind: success, tell: The session opened.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study, WrittenStep
from proclint.catalogue.nearest import nearest
from proclint.model import Block, Flow, Way
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def way_to_nowhere(flow: Flow, study: Study) -> Iterator[Result]:
    """Find targets that are nowhere written, and steps after which nothing is."""
    known = [*flow.steps, *flow.ends]
    first: dict[str, Way] = {}
    for each in study.written.steps.values():
        for way in each.step.ways:
            if way.target not in flow.steps and way.target not in flow.ends:
                head = first.setdefault(way.target, way)
                near = nearest(way.target, known)
                change = f"Write '{near}'." if near else _missing(way.target, flow)
                yield Result(
                    f"Whoever takes this way finds no step '{way.target}'.",
                    at=way.at,
                    change=change,
                    why=f"'{each.step.name}' leads there when its outcome is '{way.outcome}'.",
                    subject=way.target,
                    because=None if way is head else head.at,
                )
        yield from _ends_in_nothing(each, flow)
    for window in flow.windows.values():
        if window.late and window.late not in flow.steps and window.late not in flow.ends:
            near = nearest(window.late, known)
            yield Result(
                f"Whoever is late finds no step '{window.late}'.",
                at=window.at / "late",
                change=f"Write '{near}'." if near else _missing(window.late, flow),
                subject=window.late,
                because=first[window.late].at if window.late in first else None,
            )


def _ends_in_nothing(each: WrittenStep, flow: Flow) -> Iterator[Result]:
    for leaving in each.exits:
        is_forward = leaving.outcome == "done" or (each.step.follow and not leaving.is_failing)
        if not leaving.target and is_forward:
            first = next(iter(flow.ends), "an ending")
            yield Result(
                f"Nothing says what comes after '{each.step.name}'.",
                at=each.step.at,
                change=f"Write 'then:' with the step that follows, or an ending such as '{first}'.",
                subject=each.step.name,
            )


def _missing(name: str, flow: Flow) -> str:
    if isinstance(flow, Block):
        return f"Name '{name}' under 'exits', or write the step."
    return f"Write the step '{name}', or name one that exists."
