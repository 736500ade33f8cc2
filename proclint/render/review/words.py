"""How single values of an account are said."""

from collections.abc import Iterable, Sequence

from proclint.analysis.account.endings import KeyLeft
from proclint.analysis.states.covered import Known
from proclint.analysis.time.job import WayTime
from proclint.analysis.time.spoken import spoken
from proclint.model import Signed
from proclint.render.review.leaf import Chip
from proclint.results import Passed

_LONGEST_WAY = 12


def of_number(known: Known) -> str:
    """Say how many there may be: `2`, `0-4`, `not read`."""
    if known.may_be_any:
        return "not read" if not known.values else f"{_runs(known.values)} or not read"
    return _runs(known.values)


def _runs(values: Sequence[str]) -> str:
    numbers = sorted(map(int, values))
    whole = range(numbers[0], numbers[-1] + 1)
    if len(numbers) > 1 and list(whole) == numbers:
        return f"{numbers[0]}-{numbers[-1]}"
    return ", ".join(map(str, numbers))


def of_time(time: WayTime | None) -> str:
    """Say how long the ways to an ending take: quickest, typical, slowest."""
    if time is None:
        return "not known"
    slowest = spoken(time.slowest) if time.slowest is not None else "not found"
    return f"{spoken(time.quickest)} / {spoken(time.usual)} / {slowest}"


def of_keys(keys: Iterable[KeyLeft]) -> str:
    """Say how each key stands, those that stand alike together."""
    by_standing: dict[str, list[str]] = {}
    for each in keys:
        name = f"{each.key}{' and further' if each.stands_for_more else ''}{' (if here)' if each.may_be_missing else ''}"
        by_standing.setdefault(each.standing.value, []).append(name)
    return "; ".join(f"{', '.join(names)}: {standing}" for standing, names in by_standing.items()) or "no key is here"


def of_signed(signed: Signed | None) -> str:
    """Say who did something and when."""
    return f"{signed.by}, {signed.date}" if signed is not None else "nobody"


def of_names(names: Iterable[str], *, none: str) -> str:
    """Join names, or say that there are none."""
    return ", ".join(names) or none


def chips_of(trace: Sequence[Passed]) -> tuple[Chip, ...]:
    """Give a way as chips, a long one folded in the middle."""
    chips = tuple(Chip(each.step, "" if each.outcome == "done" else each.outcome) for each in trace)
    if len(chips) <= _LONGEST_WAY:
        return chips
    half = _LONGEST_WAY // 2
    return (*chips[:half], Chip("", f"{len(chips) - 2 * half} more"), *chips[-half:])


def of_chips(chips: Iterable[Chip]) -> str:
    """Say a way in one line."""
    return ", ".join(_chip(each) for each in chips)


def _chip(chip: Chip) -> str:
    if not chip.step:
        return f"({chip.outcome})"
    return f"{chip.step} ({chip.outcome})" if chip.outcome else chip.step
