"""Which hazards arise in a procedure, where, and whether whoever works there was warned on every way."""

from collections.abc import Iterator
from enum import StrEnum
from typing import NamedTuple

from proclint.analysis.shelf import Shelf
from proclint.analysis.states.cast import SEEN
from proclint.analysis.states.covered import Covered, where_of
from proclint.analysis.states.laying import Station
from proclint.analysis.states.lines import CAUTION_RULE
from proclint.analysis.states.running import run
from proclint.analysis.study import Study
from proclint.catalogue import Hazard
from proclint.model import Flow, Step


class Warned(StrEnum):
    """Whether the caution was read before."""

    ALWAYS = "on every way"
    SOMETIMES = "on some ways"
    NEVER = "on no way"
    UNDECIDED = "not decided"


class Arising(NamedTuple):
    """A line at which a hazard arises, in a step of the file or, where `block` names it, of a block that the step follows."""

    step: str
    block: str
    text: str
    warned: Warned


class HazardRow(NamedTuple):
    """A hazard: where it arises, and at which steps of the file its caution is shown."""

    hazard: Hazard
    arises: tuple[Arising, ...]
    shown_at: tuple[str, ...]

    @property
    def is_answered(self) -> bool:
        """Whether its caution is read on every way to wherever it arises."""
        return all(each.warned is Warned.ALWAYS for each in self.arises)


def hazards_of(study: Study, covered: Covered) -> tuple[HazardRow, ...]:
    """Give the hazards that arise, in the order of the catalogue."""
    found: dict[str, dict[Arising, None]] = {}
    judge = _Judge(study, covered)
    for stop, demands in covered.laid.piece.asked.items():
        for demand in demands:
            if demand.hazard and covered.states[stop]:
                station = covered.laid.station(stop)
                block = station.of.at.file if station.calls else ""
                arising = Arising(station.own.name, block, demand.text, judge.warned(demand.hazard, stop))
                found.setdefault(demand.hazard, {})[arising] = None
    shown = {name: tuple(_shown_at(study.flow, study.shelf, name)) for name in found}
    hazards = study.catalogue.hazards.items()
    return tuple(HazardRow(hazard, tuple(_gravest(found[name])), shown[name]) for name, hazard in hazards if name in found)


def _gravest(found: dict[Arising, None]) -> Iterator[Arising]:
    """Give of what is done several times at one step the gravest."""
    best: dict[tuple[str, str, str], Arising] = {}
    for each in found:
        key = (each.step, each.block, each.text)
        if key not in best or _RANK[each.warned] > _RANK[best[key].warned]:
            best[key] = each
    yield from best.values()


_RANK = {each: rank for rank, each in enumerate((Warned.ALWAYS, Warned.UNDECIDED, Warned.SOMETIMES, Warned.NEVER))}


def _shown_at(flow: Flow, shelf: Shelf, hazard: str) -> Iterator[str]:
    """Give the steps that show a caution, those of blocks by the block's name before theirs."""
    for each in (flow, *shelf.followed(flow)):
        for step in each.steps.values():
            if _shows(step, hazard):
                yield step.name if each is flow else f"{each.id}: {step.name}"


def _shows(step: Step, hazard: str) -> bool:
    return any(word.text == hazard for word in step.cautions)


class _Judge:
    """Says whether a caution was read before a stop: exactly where that was searched for, else from what covers all ways."""

    def __init__(self, study: Study, covered: Covered) -> None:
        self.covered = covered
        self.graph = study.graph
        shelf = study.shelf
        found = [study.states, *(run(shelf.written(each), shelf, is_whole=True) for each in shelf.followed(study.flow))]
        self.broken = {(each.demand.hazard, _spot(each.station)) for one in found for each in one.of(CAUTION_RULE)}
        self.open = {(each.demand.hazard, _spot(each.station)) for one in found for each in one.undecided}

    def warned(self, hazard: str, stop: int) -> Warned:
        seen = self.covered.known(f"{SEEN}.{hazard}", self.covered.states[stop])
        if seen.is_surely("yes"):
            return Warned.ALWAYS
        station = self.covered.laid.station(stop)
        key = (hazard, _spot(station))
        if key in self.broken:
            return Warned.SOMETIMES if self.is_before(hazard, station) else Warned.NEVER
        return Warned.UNDECIDED if key in self.open else Warned.ALWAYS

    def is_before(self, hazard: str, station: Station) -> bool:
        """Whether some way leads from where a caution is shown to a step, or it is shown there."""
        showing = [node.index for node in self.graph.nodes if node.step is not None and _shows(node.step, hazard)]
        at = next((node.index for node in self.graph.nodes if (node.calls, node.name) == where_of(station)), -1)
        return at in self.graph.search(showing)


def _spot(station: Station) -> tuple[str, str, int]:
    """Name a step wherever it is followed from."""
    return station.of.at.file, station.of.name, station.of.at.start
