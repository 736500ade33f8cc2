"""A shortest way to each ending with the fewest keys that lead there, as a person would walk it.

Where the search for a shortest way meets its limit, some way is looked for by going on, at each spot, to where the ending is
nearest on the drawing, and back where that is closed; so that a way is real, though another may be shorter.
"""

from collections import deque
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.analysis.explorer import LimitName, Open, SearchLimits
from proclint.analysis.search import Way
from proclint.analysis.states.covered import Covered
from proclint.analysis.states.rehearsal import Moment, Rehearsal
from proclint.analysis.states.spots import Spot

# Moments that are looked at where the shortest way was not found.
MOST_MOMENTS = 3_000
LIMITS = SearchLimits(states=10_000, total=100_000)


class Reaching(NamedTuple):
    """An ending and the moment at which a way arrives there; nothing where there is none, or none was found.

    With a `limit` that was met, the way may not be the shortest, and without a way it is not known whether there is one.
    """

    ending: Spot
    arrived: Moment | None
    limit: LimitName | None = None


def endings(rehearsal: Rehearsal, limits: SearchLimits = LIMITS, *, most: int = MOST_MOMENTS) -> Iterator[Reaching]:
    """Give each ending of the file, in file order, with a way to it."""
    ends = [spot for spot in rehearsal.spots.all if spot.is_last]
    ways = Covered(rehearsal.laid).shortest_ways([spot.base for spot in ends], limits=limits)
    for spot in ends:
        found = ways.get(spot.base)
        if isinstance(found, Open):
            yield Reaching(spot, some_way(rehearsal, spot, most=most), found.limit)
        else:
            yield Reaching(spot, walked(rehearsal, found.way) if found is not None else None)


def walked(rehearsal: Rehearsal, way: Way) -> Moment:
    """Walk the moves of a way through the machine; give the moment at which it arrives."""
    moment = rehearsal.start()
    for stop, move in way:
        outcome = rehearsal.spots.at(stop).outcomes.get((stop, move))
        if outcome is not None:
            moment = moment.leave(outcome)
    return moment


def some_way(rehearsal: Rehearsal, ending: Spot, *, most: int) -> Moment | None:
    """Look for a way to an ending, nearest spots first; nothing where none is found among so many moments."""
    far = distances(rehearsal, ending)
    waiting, seen = [rehearsal.start()], set[object]()
    while waiting and len(seen) < most:
        moment = waiting.pop()
        if moment.spot is ending:
            return moment
        key = (moment.spot, moment.stand)
        if key in seen:
            continue
        seen.add(key)
        onward = [each for each in moment.options if each.target in far]
        # The nearest last, as the last is looked at first.
        onward.sort(key=lambda each: far[each.target], reverse=True)
        waiting += [moment.through(each) for each in onward]
    return None


def distances(rehearsal: Rehearsal, ending: Spot) -> Mapping[Spot, int]:
    """Give how many spots lie between each spot and an ending, whatever the state."""
    leading: dict[Spot, set[Spot]] = {}
    for spot in rehearsal.spots.all:
        for stop, move in spot.outcomes:
            leading.setdefault(_target(rehearsal, stop, move), set()).add(spot)
    found, waiting = {ending: 0}, deque([ending])
    while waiting:
        spot = waiting.popleft()
        for source in leading.get(spot, ()):
            if source not in found:
                found[source] = found[spot] + 1
                waiting.append(source)
    return found


def _target(rehearsal: Rehearsal, stop: int, move: int) -> Spot:
    known = rehearsal.laid.machine.stops[stop]
    taken = known.moves[move] if move >= 0 else known.spent
    return rehearsal.spots.at(stop + (taken.by if taken is not None else 0))
