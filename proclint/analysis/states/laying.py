"""A procedure as a machine that can be explored, and the way back from its stops to steps."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import NamedTuple

from proclint.analysis.explorer import Explored, explore_from
from proclint.analysis.machine import Machine, State
from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.states.binding import alone, counts_in
from proclint.analysis.states.cast import Cast, Said, Start, cast_of
from proclint.analysis.states.piece import Demand, Part
from proclint.analysis.states.steps import ENTERED, LAST_ROUND, Layer
from proclint.analysis.states.truth import Narrowing, Scene, all_hold
from proclint.model import End, Flow, Step

_MOST_STARTS = 32


class Station(NamedTuple):
    """A step or an ending as it is come to: the steps that lead into the block in which it stands, and it itself.

    `own` is the step or ending of the file itself: the first of the steps that lead there, or it itself.
    """

    calls: tuple[str, ...]
    of: Step | End
    own: Step | End

    @property
    def step(self) -> Step | None:
        """The step, where it is one."""
        return self.of if isinstance(self.of, Step) else None

    @property
    def is_step(self) -> bool:
        """Whether it is a step."""
        return self.step is not None


@dataclass(frozen=True)
class Laid:
    """A procedure or block laid out: its cast, and all its stops."""

    cast: Cast
    said: Said
    piece: Part
    _stations: dict[int, Station] = field(default_factory=dict)

    @cached_property
    def start(self) -> Start:
        """What is known at the start of each variable, and which were never stated.

        What always holds, such as that the engine stands while the ignition is off, makes known what follows from the rest.
        """
        known, unknown = self.cast.start(self.said)
        masks, unstated = list(known), set(unknown)
        for cases, follows in _always(self.cast):
            if any(_is_so(case, masks, unstated) for case in cases):
                for variable, mask in follows.items():
                    masks[variable] = masks[variable] & mask or masks[variable]
                    unstated.discard(variable)
        return tuple(masks), frozenset(unstated)

    @cached_property
    def machine(self) -> Machine:
        """The machine to explore."""
        masks, unstated = self.start
        return Machine(self.cast.layout, self.cast.layout.state(masks, unstated), self.piece.stops)

    @property
    def is_proved(self) -> bool:
        """Whether every check holds on every way, which shows without a search."""
        return not self.starts

    def _may_fail(self, start: Start) -> bool:
        return self.piece.passed(self._covering(start)).is_suspect

    def _covering(self, start: Start) -> State:
        """Give a start as in the pass over a machine: what was never stated has its flag and no values."""
        layout, state = self.cast.layout, self._covering_whole
        # Starts differ in these numbers alone.
        for variable, _ in self._counted_apart:
            if start[0][variable] != self.start[0][variable]:
                state = state & ~layout.field(variable) | layout.values(variable, start[0][variable])
        return state

    @cached_property
    def _covering_whole(self) -> State:
        layout, (masks, unstated) = self.cast.layout, self.start
        state = layout.state(masks, unstated)
        for variable in unstated:
            state &= ~layout.values(variable, layout.full(variable))
        return state

    @cached_property
    def starts(self) -> tuple[Start, ...]:
        """The starts from which some check may fail; none where every check holds on every way.

        How many keys of a group are here or away is changed by no line. So the start is taken apart by these numbers, at once by
        as many as it takes for the first, and by one after the other as long as some check may fail: what hangs together on
        them shows so.
        """
        left, numbers = [self.start], self._counted_apart
        at_once = self._enough_for_the_first(numbers)
        for place, (number, classes) in enumerate(numbers, 1):
            if len(left) * len(classes) > _MOST_STARTS:
                break
            left = [_with(start, number, mask) for start in left for mask in classes]
            if place >= at_once:
                left = [start for start in left if self._may_fail(start)]
        return tuple(start for start in left if self._may_fail(start))

    def _enough_for_the_first(self, numbers: Sequence[tuple[int, tuple[int, ...]]]) -> int:
        """Give by how many numbers the first start has to be taken apart until every check holds, or all of them."""
        start = self.start
        for place, (number, classes) in enumerate(numbers, 1):
            start = _with(start, number, classes[0])
            if not self._may_fail(start):
                return place
        return len(numbers)

    @cached_property
    def starts_apart(self) -> tuple[Start, ...]:
        """All starts, taken apart by how many keys of each group are here and away, as far as they do not become too many."""
        found = [self.start]
        for number, classes in self._counted_apart:
            if len(found) * len(classes) > _MOST_STARTS:
                break
            found = [_with(start, number, mask) for start in found for mask in classes]
        return tuple(found)

    @cached_property
    def _counted_apart(self) -> tuple[tuple[int, tuple[int, ...]], ...]:
        """For each number of keys that may differ, the masks of what is told apart of it."""
        return tuple(self._each_counted_apart())

    def _each_counted_apart(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        groups = [group for group in self.cast.groups if not group.is_given]
        for where, size in [
            *((f"{group.letter}.here", group.size) for group in groups),
            *((f"{group.letter}.away", 1) for group in groups),
        ]:
            number = self.cast.number[where]
            classes = _apart(self.cast.counted.get(number, 0), size)
            if len(classes) > 1:
                yield number, classes

    def explored(self) -> Explored:
        """Give what fails from any start, and what could not be decided."""
        state = self.cast.layout.state
        return explore_from(
            self.machine, [(state(*each), tuple(self.piece.suspects(self._covering(each)))) for each in self.starts]
        )

    def demand(self, stop: int, check: int) -> Demand:
        """Give what a check asks."""
        return self.piece.asked[stop][check]

    def station(self, stop: int) -> Station:
        """Give the step or ending to which a stop belongs."""
        known = self._stations.get(stop)
        if known is None:
            path = [*_path(self.piece, stop)]
            known = self._stations[stop] = Station(tuple(of.name for of in path[:-1]), path[-1], path[0])
        return known

    def outcome(self, stop: int, move: int) -> str:
        """Give the outcome by which a move leaves a step; nothing where it leads on inside it."""
        part = self.piece
        while part.pieces:
            _, base, inner = next(each for each in reversed(part.pieces) if each.base <= stop)
            part, stop = inner, stop - base
        found = next((out.outcome for out in part.outs if (out.stop, out.move) == (stop, move)), "")
        return "" if found in (ENTERED, LAST_ROUND) else found


@lru_cache(maxsize=512)
def _always(cast: Cast) -> tuple[tuple[tuple[Narrowing, ...], Narrowing], ...]:
    """Give what always holds: in which cases something follows, and what."""
    scene, found = Scene(cast, "", "", {}, {}), []
    for item in cast.catalogue.invariants:
        when, must = all_hold(item.condition, scene), all_hold(item.atoms, scene)
        if len(must.cases) == 1:
            found.append((when.cases, must.cases[0]))
    return tuple(found)


def _is_so(case: Narrowing, masks: Sequence[int], unstated: Collection[int]) -> bool:
    """Whether a case surely holds."""
    return all(variable not in unstated and not masks[variable] & ~mask for variable, mask in case.items())


def _with(start: Start, number: int, mask: int) -> Start:
    masks = list(start[0])
    masks[number] = mask
    return tuple(masks), start[1]


def _apart(mask: int, size: int) -> tuple[int, ...]:
    """Take the counts in a mask apart; those of more keys than are told apart stay together."""
    few = tuple(1 << index for index in range(size) if mask >> index & 1)
    many = mask >> size << size
    return (*few, many) if many else few


def _path(piece: Part, stop: int) -> Iterator[Step | End]:
    """Give the steps and endings from the outermost to that of a stop."""
    while piece.pieces:
        of, base, inner = next(each for each in reversed(piece.pieces) if each.base <= stop)
        yield of
        piece, stop = inner, stop - base


def lay(flow: Flow, written: Written, shelf: Shelf, layer: Layer) -> Laid:
    """Lay out a procedure, or a block run alone with stand-in keys. Every block must be there, and in no ring."""
    cast, said = cast_of(flow, shelf.catalogue, counts_in(flow, tuple(shelf.followed(flow))), shelf.facts_of(flow))
    return Laid(cast, said, layer.flow(written, alone(flow, cast)))
