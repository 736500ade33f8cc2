"""The first thing that a reviewer reads: what blocks a file, and which guards its new version takes away."""

from collections.abc import Iterable
from typing import NamedTuple

from proclint.compare import Difference, Weight
from proclint.engine import Reported
from proclint.results import Level
from proclint.telling import counted

_MOST_SAID = 3


class Verdict(NamedTuple):
    """Whether results block a file, and that in words; `lost` says what the change takes away, empty where nothing is."""

    is_blocked: bool
    said: str
    lost: str


def verdict_of(
    results: Iterable[Reported], differences: Iterable[Difference], failing: Level, *, brought: Iterable[Reported] = ()
) -> Verdict:
    """Judge by the level at which a check fails; `brought` is what a block brings to procedures that follow it."""
    given = tuple(results)
    ranks = list(Level)
    blocking = [each for each in given if ranks.index(each.weighs) <= ranks.index(failing)]
    lost = [each for each in differences if each.weight is Weight.LOST]
    guards = f"{counted(len(lost), 'guard is', 'guards are')} gone: {_joined(each.said for each in lost)}" if lost else ""
    there = tuple(brought)
    if blocking or there:
        said = [f"Blocked by {len(blocking)}: {_joined(_first(each) for each in blocking)}"] if blocking else []
        where = "in procedures that follow it"
        said += [f"Blocked by {len(there)} {where}: {_joined(_first(each) for each in there)}"] if there else []
        return Verdict(is_blocked=True, said=" ".join(said), lost=guards)
    if given:
        count = counted(len(given), "result", "results")
        return Verdict(is_blocked=False, said=f"Nothing blocks it; {count} to look at.", lost=guards)
    return Verdict(is_blocked=False, said="Nothing was found.", lost=guards)


def _first(each: Reported) -> str:
    first, stop, _ = each.result.message.partition(". ")
    return first + stop.rstrip()


def _joined(sentences: Iterable[str]) -> str:
    """Join sentences by semicolons, the first few of them, and say how many more there are."""
    given = [each.rstrip(". ") for each in sentences]
    more = [f"{len(given) - _MOST_SAID} more"] if len(given) > _MOST_SAID else []
    return "; ".join([*given[:_MOST_SAID], *more]) + "."
