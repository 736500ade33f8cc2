"""Lines that fit one way and not another: where ways meet, things may stand as they have to on one of them only.

Whether a line fits some way is asked of the explorer as its opposite: that things must not stand as they have to. A way on
which that is broken for certain is one that the line fits.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby, takewhile
from typing import NamedTuple, TypeAlias

from proclint.analysis.explorer import Broken, explore_suspects
from proclint.analysis.machine import Machine
from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.states.findings import Finding
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.steps import Layer
from proclint.analysis.suspects import Suspect

# A step of the file itself and the outcome by which it was left, both empty at the beginning.
Left: TypeAlias = tuple[str, str]
_BEGINNING: Left = ("", "")


class ByWay(NamedTuple):
    """What does not hold on one way, and the last steps that this way and one on which it holds do not share.

    `right` is None where there is no such way.
    """

    finding: Finding
    wrong: Left = _BEGINNING
    right: Left | None = None


def by_way(written: Written, shelf: Shelf, found: Iterable[Finding]) -> Iterator[ByWay]:
    """Say of each finding of a flow whether there is a way on which the same line fits."""
    known = tuple(found)
    if not known:
        return
    laid = lay(written.flow, written, shelf, Layer(shelf))
    for each in known:
        right = _right(laid, each)
        wrong = _steps((leg.station.own.name, leg.outcome) for leg in each.way[:-1])
        parted = _parted(wrong, right) if right is not None else (_BEGINNING, _BEGINNING)
        # Where the steps are the same it is the vehicle that differs, and no step is to be named.
        yield ByWay(each) if parted[0] == parted[1] else ByWay(each, *parted)


def _right(laid: Laid, finding: Finding) -> list[Left] | None:
    """Give the file's own steps on a shortest way on which a finding's demand surely holds, nothing where there is none."""
    ways = [
        broken.way
        for stop, demands in laid.piece.asked.items()
        for check, demand in enumerate(demands)
        if demand == finding.demand and laid.station(stop) == finding.station
        for broken in _surely_good(laid, stop, check)
    ]
    if not ways:
        return None
    way = min(([*each] for each in ways), key=len)
    # Lines of the step itself that come before are no steps on the way to it.
    while way and laid.station(way[-1][0]) == finding.station:
        way.pop()
    return _steps((laid.station(stop).own.name, laid.outcome(stop, move)) for stop, move in way)


def _surely_good(laid: Laid, stop: int, check: int) -> Iterator[Broken]:
    found = explore_suspects(_opposite(laid.machine, stop, check), (Suspect(stop, check, is_only_unstated=False),))
    return (each for each in found.broken if each.grade == "must")


def _opposite(machine: Machine, stop: int, check: int) -> Machine:
    """Give a machine in which one check asks for what it now refuses."""
    checks = list(machine.stops[stop].checks)
    asked = checks[check]
    checks[check] = machine.layout.check(asked.variable, machine.layout.full(asked.variable) & ~asked.good)
    stops = list(machine.stops)
    stops[stop] = stops[stop]._replace(checks=tuple(checks))
    return replace(machine, stops=tuple(stops))


def _steps(left: Iterable[Left]) -> list[Left]:
    """Give one of each step, left as it was left last."""
    return [(name, [outcome for _, outcome in group][-1]) for name, group in groupby(left, key=lambda each: each[0])]


def _parted(wrong: list[Left], right: list[Left]) -> tuple[Left, Left]:
    """Give the last steps that two ways do not share."""
    shared = sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(reversed(wrong), reversed(right), strict=False)))
    last = [(each[: len(each) - shared] or [_BEGINNING])[-1] for each in (wrong, right)]
    return last[0], last[1]
