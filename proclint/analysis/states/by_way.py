"""Lines that fit one way and not another: where ways meet, things may stand as they have to on one of them only.

Whether a line fits some way is asked of the explorer as its opposite: that things must not stand as they have to. A way on
which that is broken for certain is one that the line fits.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from proclint.analysis.explorer import Broken, explore_suspects
from proclint.analysis.machine import Machine
from proclint.analysis.shelf import Shelf
from proclint.analysis.states.findings import Finding
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.steps import Layer
from proclint.analysis.suspects import Suspect
from proclint.model import Flow


@dataclass(frozen=True, slots=True)
class ByWay:
    """What does not hold on one way, and the last steps that this way and one on which it holds do not share.

    `right` is None where there is no such way. A step is empty where its way comes straight from the beginning.
    """

    finding: Finding
    wrong: str = ""
    right: str | None = None

    @property
    def is_right_elsewhere(self) -> bool:
        """Whether there is a way on which it holds."""
        return self.right is not None


def by_way(flow: Flow, shelf: Shelf, found: Iterable[Finding]) -> Iterator[ByWay]:
    """Say of each finding of a flow whether there is a way on which the same line fits."""
    known = tuple(found)
    if not known:
        return
    laid = lay(flow, shelf.written(flow), shelf, Layer(shelf))
    for each in known:
        right = _right(laid, each)
        yield ByWay(each) if right is None else ByWay(each, *_parted(_names_of(each), right))


def _right(laid: Laid, finding: Finding) -> tuple[str, ...] | None:
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
    return _once(laid.station(stop).own.name for stop, _ in min(ways, key=len))


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


def _names_of(finding: Finding) -> tuple[str, ...]:
    return _once(leg.station.own.name for leg in finding.way)


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(name for name, _ in groupby(names))


def _parted(wrong: tuple[str, ...], right: tuple[str, ...]) -> tuple[str, str]:
    """Give the last steps that two ways to one step do not share, the step itself left out."""
    last = wrong[-1]
    one, other = (list(each[:-1] if each[-1:] == (last,) else each) for each in (wrong, right))
    while one and other and one[-1] == other[-1]:
        one.pop()
        other.pop()
    return (one or [""])[-1], (other or [""])[-1]
