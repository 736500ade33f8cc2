"""Every way can be followed to its end.

What is looked at once and asked for much later has to be kept in mind on all ways between. Eight such looks are a hundred thousand
ways for a vehicle to stand; past a limit they are not followed, and nobody knows whether a line behind them fits. That is told, and
not passed over. A branch right behind each look keeps them few.

```yaml bad
steps:
  a: {do: look selector, ways: {P: b, otherwise: b}}
  b: {do: look engine, ways: {stopped: c, otherwise: c}}
  c: {do: look inside, ways: {nobody: d, otherwise: d}}
  d: {do: look immobiliser-lamp, ways: {off: e, otherwise: e}}
  e: {do: look locks-click, ways: {none: f, otherwise: f}}
  f: {do: look battery, ways: {low: g, otherwise: g}}
  g: {do: look alarm, ways: {armed: h, otherwise: h}}
  h: {do: look locks, ways: {locked: i, otherwise: i}}
  i:
    ways:
      selector = P and engine = stopped and inside = nobody and immobiliser-lamp = off and locks-click = none and battery = low and alarm = armed and locks = locked: fasten
      otherwise: j
  fasten: {do: fasten-belt}
  j:
    ways:
      selector = P and engine = stopped and inside = nobody and immobiliser-lamp = off and locks-click = none and battery = low and alarm = armed and locks = locked: open
      otherwise: all-right
  open: {do: unfasten-belt, then: all-right}  # <- What 'open' needs could not be followed on every way.
```

```yaml good
steps:
  a: {do: look selector, ways: {P: b, otherwise: all-right}}
  b: {do: look engine, ways: {stopped: c, otherwise: all-right}}
  c: {do: look inside, ways: {nobody: fasten, otherwise: all-right}}
  fasten: {do: fasten-belt}
  open: {do: [turn O1 on, unfasten-belt], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Kind, Level, Note, Result
from proclint.rule import flow_rule
from proclint.telling import quoted


@flow_rule(Level.ERROR, harm=Harm.NO_KEY)
def not_decided(flow: Flow, study: Study) -> Iterator[Result]:
    """Say what could not be decided within the limits, once for a file."""
    found = sorted(study.states.undecided, key=lambda each: each.station.own.at.start)
    if not found:
        return
    first, *rest = found
    rules = dict.fromkeys(each.demand.rule for each in found)
    yield Result(
        f"What '{first.station.own.name}' needs could not be followed on every way.",
        at=first.station.own.at if first.station.calls else first.at,
        change="Branch right behind each look and reading, or make two procedures of this one.",
        why=f"The search met a limit ({', '.join(dict.fromkeys(each.limit for each in found))}) before it knew of {quoted(rules)}.",
        kind=Kind.OPEN,
        notes=tuple(Note(each.station.own.at, f"Here it is '{each.demand.rule}'.") for each in rest),
    )
