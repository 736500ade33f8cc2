"""A procedure as a machine that can be explored, and the way back from its stops to steps."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from proclint.analysis.machine import Machine
from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.states.binding import alone, counts_in
from proclint.analysis.states.cast import Cast, cast_of
from proclint.analysis.states.piece import Demand, Piece
from proclint.analysis.states.steps import Layer
from proclint.model import Block, End, Flow, Step


@dataclass(frozen=True, slots=True)
class Station:
    """A step or an ending as it is come to: the steps that lead into the block in which it stands, and it itself."""

    calls: tuple[str, ...]
    of: Step | End


@dataclass(frozen=True)
class Laid:
    """A procedure or block laid out: its cast, and all its stops."""

    cast: Cast
    piece: Piece

    @cached_property
    def machine(self) -> Machine:
        """The machine to explore."""
        masks, unstated = self.cast.start
        return Machine(self.cast.layout, self.cast.layout.state(masks, unstated), self.piece.stops)

    def demand(self, stop: int, check: int) -> Demand:
        """Give what a check asks."""
        return self.piece.asked[stop][check]

    def station(self, stop: int) -> Station:
        """Give the step or ending to which a stop belongs."""
        calls: tuple[str, ...] = ()
        found: Step | End | None = None
        for of in _path(self.piece, stop):
            if isinstance(of, Step | End):
                calls, found = ((*calls, found.name) if found is not None else calls), of
        assert found is not None
        return Station(calls, found)


def _path(piece: Piece, stop: int) -> Iterator[object]:
    """Give what the pieces are from the outermost to that of a stop."""
    while piece.parts:
        of, base, inner = next(part for part in reversed(piece.parts) if part.base <= stop)
        if of is not None:
            yield of
        piece, stop = inner, stop - base


def lay(flow: Flow, written: Written, shelf: Shelf, layer: Layer) -> Laid:
    """Lay out a procedure, or a block run alone with stand-in keys. Every block must be there, and in no ring."""
    cast = cast_of(flow, shelf.catalogue, counts_in(flow, tuple(_followed(flow, shelf))))
    return Laid(cast, layer.flow(written, alone(flow, cast)))


def _followed(flow: Flow, shelf: Shelf) -> Iterator[Block]:
    """Give the blocks that a flow follows, and those that these follow."""
    waiting, seen = [flow], set()
    for each in waiting:
        names = [step.follow.block for step in each.steps.values() if step.follow is not None]
        for name in (*names, *(end.through for end in each.ends.values() if end.through)):
            if name not in seen and name in shelf.blocks:
                seen.add(name)
                waiting.append(shelf.blocks[name])
                yield shelf.blocks[name]
