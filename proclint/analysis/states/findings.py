"""What does not hold on some way through a procedure, and the shortest way that shows it."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple, TypeAlias

from proclint.analysis.explorer import Broken, Explored
from proclint.analysis.search import Way
from proclint.analysis.states.laying import Laid, Station
from proclint.analysis.states.piece import Demand
from proclint.analysis.walk import Grade, move_at
from proclint.source import Place

# A line, step or ending that asks for something, and the steps that lead into its block.
Asked: TypeAlias = tuple[tuple[str, ...], Place]


class Leg(NamedTuple):
    """One step or ending on a way, and the outcome by which it was left, none for the last."""

    station: Station
    outcome: str


class Finding(NamedTuple):
    """A demand that does not hold at a station: how surely, on which way, and what the variable is then.

    `found` are the values that it may have there. `unset_since` are the lines on the way that ask for the same variable and
    behind which nothing set it, each with the steps that lead into its block.
    """

    demand: Demand
    grade: Grade
    station: Station
    way: tuple[Leg, ...]
    found: tuple[str, ...]
    unset_since: frozenset[Asked]

    @property
    def key(self) -> object:
        """What is the same wherever a block is followed: the rule, its subject, and the line."""
        return (self.demand.rule, self.demand.subject, self.at)

    @property
    def asked(self) -> Asked:
        """The place of the line, with the steps that lead into its block."""
        return self.station.calls, self.at

    @property
    def is_own(self) -> bool:
        """Whether it is found in the file itself and not in a block."""
        return not self.station.calls

    @property
    def at(self) -> Place:
        """The place of the line that needs it, of the step or ending where no line does; it may be in a block's file."""
        return _at(self.demand, self.station)


def _at(demand: Demand, station: Station) -> Place:
    step = station.step
    if step is None or demand.line < 0:
        return station.of.at
    lines = (*step.lines[:-1], *step.meanwhile, *step.lines[-1:])
    return lines[demand.line].at


class Undecided(NamedTuple):
    """A demand at a station of which a limit was met before it was decided: the limit, and how much it allows."""

    demand: Demand
    station: Station
    limit: str

    @property
    def at(self) -> Place:
        """The place of the line that needs it, of the step or ending where no line does."""
        return _at(self.demand, self.station)

    @property
    def key(self) -> object:
        """What is the same wherever a block is followed."""
        return (self.demand.rule, self.demand.subject, self.at)


class Findings(NamedTuple):
    """All that does not hold, each once with the shortest way, and all that was not decided."""

    broken: tuple[Finding, ...] = ()
    undecided: tuple[Undecided, ...] = ()

    def of(self, rule: str) -> tuple[Finding, ...]:
        """Give what does not hold under a rule; what was merely never stated is told under a rule of its own."""
        return tuple(each for each in self.broken if each.demand.rule == rule and each.grade != "unstated")

    @property
    def unstated(self) -> tuple[Finding, ...]:
        """What would have to be stated, once for each variable, where it is first needed."""
        first: dict[str, Finding] = {}
        for each in sorted((each for each in self.broken if each.grade == "unstated"), key=lambda each: len(each.way)):
            if each.station.is_step:
                first.setdefault(each.demand.variable, each)
        return tuple(first.values())


def findings(laid: Laid, known: frozenset[object] = frozenset()) -> Findings:
    """Explore a procedure or block that was laid out. What is `known` of its blocks run alone is not found again (see `key`)."""
    if laid.is_proved:
        return Findings()
    explored = laid.explored()
    every = tuple(_once(_told(laid, explored)))
    found = tuple(each for each in every if each.key not in known and not any(_follows(each, first) for first in every))
    undecided = {each.key: each for each in _undecided(laid, explored)}
    return Findings(found, tuple(each for key, each in undecided.items() if key not in {one.key for one in found}))


def _told(laid: Laid, explored: Explored) -> Iterator[Finding]:
    for broken in explored.broken:
        demand = laid.demand(broken.stop, broken.check)
        station, way = laid.station(broken.stop), legs_of(laid, broken.way, broken.stop)
        unset_since = frozenset(_unset_since(laid, broken, demand.variable))
        yield Finding(demand, broken.grade, station, way, _found(laid, broken, demand), unset_since)


def _unset_since(laid: Laid, broken: Broken, variable: str) -> Iterator[Asked]:
    """Give what asks for a variable on the way, from where the way last sets it to a value that does not hang on the old one."""
    own = laid.cast.layout.field(laid.cast.number[variable])
    yield from _asking(laid, broken.stop, variable)
    for stop, move in reversed(broken.way):
        if not move_at(laid.machine, stop, move).change.keep & own:
            return
        yield from _asking(laid, stop, variable)


def _asking(laid: Laid, stop: int, variable: str) -> Iterator[Asked]:
    station = laid.station(stop)
    for demand in laid.piece.asked.get(stop, ()):
        if demand.variable == variable:
            yield station.calls, _at(demand, station)


def _found(laid: Laid, broken: Broken, demand: Demand) -> tuple[str, ...]:
    number = laid.cast.number[demand.variable]
    return laid.cast.words(number, laid.cast.layout.masks(broken.state)[number])


def legs_of(laid: Laid, way: Way, last_stop: int) -> tuple[Leg, ...]:
    """Give the steps on a way to a stop, the blocks that are followed among them, each with the outcome by which it was left."""
    legs: list[Leg] = []
    for stop, move in way:
        station = laid.station(stop)
        if laid.machine.stops[stop].cost or not legs or legs[-1].station != station:
            legs.append(Leg(station, ""))
        outcome = laid.outcome(stop, move)
        if outcome:
            legs[-1] = Leg(station, outcome)
    last = laid.station(last_stop)
    return (*legs, Leg(last, "")) if not legs or legs[-1].station != last else tuple(legs)


def _follows(found: Finding, first: Finding) -> bool:
    """Whether what is wrong comes of what was surely wrong before on the same way.

    There the variable was taken as mended, with every value that is good there, and not all of them need to be good here. Where
    something on the way between set it anew, what is wrong here stands on its own.
    """
    if first.grade != "must" or first.demand.variable != found.demand.variable:
        return False
    if found.grade == "must" and not set(found.found) <= set(first.demand.good):
        return False
    return first.asked != found.asked and first.asked in found.unset_since


_RANK: dict[Grade, int] = {"must": 0, "may": 1, "unstated": 2}


def _once(found: Iterable[Finding]) -> Iterator[Finding]:
    """Give of several findings about one line, for one rule and subject, the gravest and then the nearest."""
    best: dict[object, Finding] = {}
    for each in found:
        key = (each.demand.rule, each.demand.subject, each.station.calls[:1] or each.station.of.name, each.at)
        known = best.get(key)
        if known is None or _order(each) < _order(known):
            best[key] = each
    yield from best.values()


def _order(each: Finding) -> tuple[int, int]:
    return _RANK[each.grade], len(each.way)


def _undecided(laid: Laid, explored: Explored) -> Iterator[Undecided]:
    for each in explored.open:
        # Of a suspect a check is asked, and not whether a way leads to its stop.
        assert each.check is not None
        yield Undecided(laid.demand(each.stop, each.check), laid.station(each.stop), each.limit)
