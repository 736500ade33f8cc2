"""The shortest way to each ending of a procedure, one that really can be taken, with what is known there and how long it takes."""

from collections.abc import Iterator
from dataclasses import dataclass

from proclint.analysis.explorer import Open, SearchLimits, shortest_ways
from proclint.analysis.machine import State
from proclint.analysis.search import Way
from proclint.analysis.states.rehearsal import Lacking, Rehearsal
from proclint.analysis.time.lengths import NOTHING, Length, total
from proclint.model import End


@dataclass(frozen=True, slots=True)
class Course:
    """A shortest way to an ending as moves, and as the steps of the file itself, each with the outcome by which it was left.

    `size` counts the steps of blocks too. `state` is that in which the ending is come to, where some things are `lacking`.
    """

    way: Way
    steps: tuple[tuple[str, str], ...]
    size: int
    clock: Length
    state: State
    lacking: tuple[Lacking, ...]


@dataclass(frozen=True, slots=True)
class Ending:
    """An ending, or exit of a block that stands alone, and a shortest way to it: nothing where there is none.

    Where a limit was met before that was decided there is `open` instead.
    """

    end: End
    course: Course | None
    open: Open | None


def endings(rehearsal: Rehearsal, *, limits: SearchLimits | None = None) -> Iterator[Ending]:
    """Give each ending in the order of the file with a shortest way to it."""
    stops = {of: base for of, base, part in rehearsal.laid.piece.pieces if isinstance(of, End) and not part.pieces}
    found = shortest_ways(rehearsal.laid.machine, stops.values(), limits=limits)
    for (end, stop), answer in zip(stops.items(), found, strict=True):
        if answer is None or isinstance(answer, Open):
            yield Ending(end, None, answer)
        else:
            lacking = rehearsal.passed(rehearsal.spots.at(stop), (answer.state,))[1]
            yield Ending(end, _course(rehearsal, answer.way, answer.state, lacking), None)


def _course(rehearsal: Rehearsal, way: Way, state: State, lacking: tuple[Lacking, ...]) -> Course:
    laid, steps, clock = rehearsal.laid, list[tuple[str, str]](), NOTHING
    for stop, move in way:
        spot, outcome = rehearsal.spots.at(stop), laid.outcome(stop, move)
        station = spot.station
        if not station.calls and rehearsal.is_entered(spot):
            steps.append((station.of.name, ""))
        if outcome:
            clock = total((clock, rehearsal.length(spot, outcome)))
            # A step that follows a block is left by the exit of that.
            if not station.calls or (len(station.calls) == 1 and spot.is_exit):
                steps[-1] = (steps[-1][0], outcome)
    size = sum(laid.machine.stops[stop].cost for stop, _ in way)
    return Course(way, tuple(steps), size, clock, state, lacking)
