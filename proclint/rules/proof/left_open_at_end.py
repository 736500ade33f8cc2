"""Whatever a job opens or switches on, every way to an ending closes it.

On the usual way everything is put back. The session that stays open, the ignition that stays on and the leads under the hood are on the other
way, the one that is taken when something fails: the battery is flat in the morning, or the vehicle still takes any key. What was so when the
job began, and what was never touched, is not reported.

```yaml bad
start: {ignition: off, cylinder: O1, tool: plugged, session: none, hood: closed}
steps:
  begin: {do: [turn O1 on, {do: open-session, expect: the key menu opens}], then: close, fails: no-contact}
  close: {do: [close-session, turn O1 off], then: all-right}
endings:
  all-right: {kind: success, tell: It works.}
  no-contact: {kind: referred, tell: It does not answer.}  # <- The job ends while 'ignition' is on.
```

```yaml good
start: {ignition: off, cylinder: O1, tool: plugged, session: none, hood: closed}
steps:
  begin: {do: [turn O1 on, {do: open-session, expect: the key menu opens}], then: close, fails: switch-off}
  close: {do: [close-session, turn O1 off], then: all-right}
fallbacks:
  switch-off: {do: turn O1 off, then: no-contact}
endings:
  all-right: {kind: success, tell: It works.}
  no-contact: {kind: referred, tell: It does not answer.}
```
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from proclint.analysis import Study
from proclint.analysis.left_open import left_open
from proclint.model import Procedure
from proclint.results import Harm, Level, Result
from proclint.rule import procedure_rule
from proclint.telling import broken, in_words, listed

if TYPE_CHECKING:
    from proclint.analysis.states.findings import Finding

# Any other is a warning.
_LEVELS = {
    "ignition": Level.ERROR,
    "session": Level.ERROR,
    "immobiliser": Level.ERROR,
    "airbag-power": Level.ERROR,
    "log": Level.NOTE,
}


@procedure_rule(Level.ERROR, Level.WARNING, Level.NOTE, harm=Harm.NO_KEY)
def left_open_at_end(procedure: Procedure, study: Study) -> Iterator[Result]:
    """Find what an ending leaves as it must not be left; all at one ending has one cause, and the gravest is told."""
    told = set()
    for found, bad in sorted(left_open(procedure, study), key=_danger):
        name = found.demand.variable
        ends = "ends" if found.grade == "must" else "may end"
        good = next((each for each in study.catalogue.reachable.get(name, ()) if each in found.demand.good), "")
        how = f"Write 'make-sure {name} {good}'" if good else f"Make {in_words(name)} {listed(found.demand.good)}"
        result = broken(
            found,
            f"The job {ends} while {in_words(name)} is {listed(bad)}.",
            change=f"{how} on the way to this ending, or in the block that it runs through.",
            level=_LEVELS.get(found.demand.subject, Level.WARNING),
        )
        yield result._replace(because=found.at) if found.at in told else result
        told.add(found.at)


def _danger(each: tuple["Finding", tuple[str, ...]]) -> int:
    return list(Level).index(_LEVELS.get(each[0].demand.subject, Level.WARNING))
