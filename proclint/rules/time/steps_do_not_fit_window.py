"""What must be done inside a window fits into it.

Five times on and off, 2 s each, in a window of 10 s: whoever tries it is late and blames himself, the key or the vehicle. The
sum is made for the quickest, the typical and the slowest hand; what vehicle and equipment do is taken at its longest, as
nobody can hurry them. Not even the quickest hand: an error; not the typical one: a warning; not a slow one and no way for who
is late: a note. Where a window also has a shortest time, all bounds that hold at once are looked at together, and the
smallest set that cannot be kept is told.

```yaml bad
windows: {entry: {at-most: 10 s, late: too-late}}  # <- Not even the quickest hand is done within 'entry'.
steps:
  swing:
    do:
      - {do: turn O1 on, opens: entry at start}
      - {do: [wait 2 s, turn O1 off, turn O1 on], repeat: 4}
      - {do: turn O1 off, closes: entry}
    then: all-right
fallbacks:
  too-late: {tries: 1, do: [make-sure ignition off, wait 20 s], ways: {done: swing, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```

```yaml good
windows: {entry: {at-most: 25 s, late: too-late}}
steps:
  swing:
    do:
      - {do: turn O1 on, opens: entry at start}
      - {do: [wait 2 s, turn O1 off, turn O1 on], repeat: 4}
      - {do: turn O1 off, closes: entry}
    then: all-right
fallbacks:
  too-late: {tries: 1, do: [make-sure ignition off, wait 20 s], ways: {done: swing, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
```
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Kind, Level, Note, Passed, Result
from proclint.rule import flow_rule
from proclint.telling import quoted

if TYPE_CHECKING:
    # Loaded only for a file in which a window is in doubt.
    from proclint.analysis.time.keeping import Clash, WindowTime

_LEVELS = (Level.ERROR, Level.WARNING, Level.NOTE)
_HANDS = ("Not even the quickest hand is", "The typical hand is not", "A slow hand is not")
_KEEPS = ("Not even the quickest hand keeps", "The typical hand does not keep", "A slow hand does not keep")


@flow_rule(*_LEVELS, harm=Harm.TIME)
def steps_do_not_fit_window(flow: Flow, study: Study) -> Iterator[Result]:
    """Find the windows that some hand cannot keep, by the sum or by the bounds that show it."""
    yield from map(_missed, study.times.missed)
    for clash in study.times.clashes:
        yield _clash(flow, clash)
    for region, limit in study.times.undecided:
        yield Result(
            f"Whether '{region.window.name}' can be kept was not decided.",
            at=region.window.at,
            why=f"The limit that was met: {limit.limit}" + (f" ({limit.number})." if limit.number else "."),
            subject=region.window.name,
            kind=Kind.OPEN,
        )


def _missed(window: "WindowTime") -> Result:
    from proclint.analysis.time.spoken import spoken
    from proclint.analysis.time.told import summed

    hand, most = window.broken_at, window.clock.most
    assert hand is not None
    assert most is not None
    added = window.sum(hand)
    assert added is not None
    return Result(
        f"{_HANDS[hand]} done within '{window.name}'.",
        at=window.region.window.at,
        change=f"Make '{window.name}' longer if its source allows, or do less inside it.",
        why=f"{summed(added, hand)} = {spoken(added.ms)}; it ends after {spoken(most)}, {spoken(added.ms - most)} before.",
        subject=window.name,
        level=_LEVELS[hand],
        trace=tuple(Passed(step.at, step.name, words=step.words) for step in added.steps),
    )


def _clash(flow: Flow, clash: "Clash") -> Result:
    from proclint.analysis.time.spoken import spoken
    from proclint.analysis.time.told import clashing

    first, *others = (flow.windows[name] for name in clash.windows)
    return Result(
        f"{_KEEPS[clash.hand]} all bounds of {quoted(clash.windows)}.",
        at=first.at,
        change="Give one of these bounds more room if its source allows.",
        why=f"{clashing(clash)}: {spoken(clash.short)} short.",
        subject=first.name,
        level=_LEVELS[clash.hand],
        notes=tuple(Note(window.at, f"'{window.name}' is declared here.") for window in others),
    )
