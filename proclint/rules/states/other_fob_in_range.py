"""No other registered fob is near while one is learned.

The vehicle, or the tool, talks to whichever fob answers first. With the old one in a pocket the new one is never heard, and the sheet
says that it was learned. In the pouch or 5 m away a fob does not answer.

```yaml bad
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}
keys:
  O: {kind: fob, registered: true, here: 1}
  N: {kind: fob, registered: false, here: 1}
start: {ignition: on, cylinder: empty, tool: plugged, session: open}
steps:
  near: {do: put N1 button}
  learn-it: {do: learn N1, expect: the screen shows FOBS 2, then: all-right, fails: not-learned}  # <- O1 is near at 'learn N1', and may answer for it.
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```

```yaml good
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}
keys:
  O: {kind: fob, registered: true, here: 1}
  N: {kind: fob, registered: false, here: 1}
start: {ignition: on, cylinder: empty, tool: plugged, session: open}
steps:
  near: {do: [put O1 pouch, put N1 button]}
  learn-it: {do: learn N1, expect: the screen shows FOBS 2, then: all-right, fails: not-learned}
endings:
  all-right: {kind: success, tell: The new key is learned.}
  not-learned: {kind: not-as-found, tell: The new key is not learned.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.telling import broken


@flow_rule(Level.ERROR, harm=Harm.TIME)
def other_fob_in_range(flow: Flow, study: Study) -> Iterator[Result]:
    """Find learns of a fob at which another registered one is, or may be, in range."""
    for found in study.states.of("other-fob-in-range"):
        other, is_near = found.demand.variable.partition(".")[0], "is" if found.grade == "must" else "may be"
        message = f"{other} {is_near} near at '{found.demand.text}', and may answer for it."
        yield broken(found, message, change=f"Put {other} in the pouch or 5 m away first; 'isolate' does it for all others.")
