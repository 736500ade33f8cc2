"""Every exit of a block that is followed leads somewhere.

A proof of authority that was refused and simply goes on is worse than none. The first exit is the wished one and goes
on to the next step; each other exit has a way, by its name, by `fails` or by `otherwise`.

```yaml bad
steps:
  may-i: {follow: authority 3}  # <- Nothing says what to do when 'authority' ends with 'refused'.
  look-on: {do: look hood, then: all-right}
```

```yaml good
steps:
  may-i: {follow: authority 3, fails: no-right}
  look-on: {do: look hood, then: all-right}
endings:
  all-right: {kind: success, tell: It works.}
  no-right: {kind: as-found, tell: Nothing was touched.}
```
"""

from collections.abc import Iterator

from proclint.analysis import RESERVED, Study, WrittenStep
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule
from proclint.source import Place
from proclint.telling import quoted


@flow_rule(Level.ERROR, harm=Harm.DAMAGE)
def exit_not_wired(flow: Flow, study: Study) -> Iterator[Result]:
    """Find exits of blocks that the caller does not lead anywhere."""
    for each in study.written.steps.values():
        follow = each.step.follow
        missing = [leaving.outcome for leaving in each.exits if not leaving.target and leaving.is_failing]
        if follow is None or not missing or follow.block not in study.shelf.blocks:
            continue
        yield Result(
            f"Nothing says what to do when '{follow.block}' ends with {quoted(missing, 'or')}.",
            at=follow.at,
            change="Write 'fails:' with the step that comes then, or a way for each.",
            subject=each.step.name,
            because=_misnamed(each) or _of_another_version(each, study),
        )


def _misnamed(each: WrittenStep) -> Place | None:
    """Give the place of a way whose name is no exit: an exit that is not wired then is the one that was meant."""
    for way in each.step.ways:
        if way.outcome not in (*each.outcomes.known, *RESERVED):
            return (each.step.at / "ways").key(way.outcome)
    return None


def _of_another_version(each: WrittenStep, study: Study) -> Place | None:
    """Give the place of the call where it asks for another version than is there: its exits may be others too."""
    follow = each.step.follow
    is_other = follow is not None and follow.version not in (0, study.shelf.blocks[follow.block].version)
    return follow.at if follow is not None and is_other else None
