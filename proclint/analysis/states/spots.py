"""Where a person can stand in a procedure that was laid out: at each step in each round, inside blocks, and at endings.

The order in which steps are laid (`steps.py`) is gone through once more, so that each part is known by its step, its round and
the keys that its letters stand for there.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.states.binding import Binding, alone, inside
from proclint.analysis.states.laying import Laid
from proclint.analysis.states.piece import Laid as Piece
from proclint.analysis.states.piece import Part
from proclint.analysis.states.steps import Layer
from proclint.analysis.time.parts import Pace
from proclint.model import End, Flow, Step


class Kind(Enum):
    """What there is at a spot: a step is come to, one more key is asked for, a round begins, a step is done, or a way stops."""

    BEGIN = "begin"
    AGAIN = "again"
    GATE = "gate"
    BODY = "body"
    END = "end"


@dataclass(frozen=True, eq=False)
class Frame:
    """A flow as it is followed once: its steps, times and letters there, and the spot from which it is followed, if one is."""

    written: Written
    pace: Pace
    binding: Binding
    caller: "Spot | None" = None

    @property
    def callers(self) -> tuple["Spot", ...]:
        """The spots that lead here, the outermost first."""
        return (*self.caller.frame.callers, self.caller) if self.caller is not None else ()


@dataclass(frozen=True, eq=False)
class Spot:
    """A part of the machine from stop `base` to before `after`, what it is, and the frame in which it stands.

    `key` is the key of a round, of which a gate asks whether it is there. `letters` are those that stand for one key here.
    """

    base: int
    part: Part
    kind: Kind
    of: Step | End
    frame: Frame
    key: str = ""
    letters: Mapping[str, str] = field(default_factory=dict)

    @property
    def after(self) -> int:
        """The first stop behind it."""
        return self.base + len(self.part.stops)

    @property
    def name(self) -> str:
        """The name of its step, ending or exit."""
        return self.of.name

    @property
    def step(self) -> Step | None:
        """Its step, where it is at one."""
        return self.of if isinstance(self.of, Step) else None

    @property
    def levels(self) -> Mapping[Frame, str]:
        """The name of the step or ending at which one is in each flow that is being followed."""
        return {self.frame: self.name, **{caller.frame: caller.name for caller in self.frame.callers}}

    def goes_on(self, after: "Spot") -> bool:
        """Whether what comes after is one more round of the same step."""
        return (after.of, after.frame) == (self.of, self.frame) and after.kind is not Kind.BEGIN

    @property
    def is_last(self) -> bool:
        """Whether the way stops here: at an ending, and not at the exit of a block that others follow."""
        return self.kind is Kind.END and self.frame.caller is None

    @cached_property
    def outcomes(self) -> Mapping[tuple[int, int], str]:
        """The outcome of each move that leaves it, by its stop and index in the whole machine."""
        return {(self.base + stop, move): outcome for stop, move, outcome in self.part.outs}


class Spots(NamedTuple):
    """All spots of a procedure, in the order of their stops."""

    all: tuple[Spot, ...]
    bases: tuple[int, ...]

    def at(self, stop: int) -> Spot:
        """Give the spot to which a stop belongs."""
        return self.all[bisect_right(self.bases, stop) - 1]


def spots_of(flow: Flow, shelf: Shelf, laid: Laid) -> Spots:
    """Give the spots of a procedure that was laid out."""
    frame = Frame(shelf.written(flow), Pace.of(flow, shelf.catalogue), alone(flow, laid.cast))
    found = tuple(_Finder(shelf, Layer(shelf)).of_frame(frame, laid.piece, 0))
    return Spots(found, tuple(spot.base for spot in found))


class _Finder(NamedTuple):
    """Goes through parts in the order in which they were laid."""

    shelf: Shelf
    layer: Layer

    def of_frame(self, frame: Frame, part: Part, base: int) -> Iterator[Spot]:
        """Give the spots of a flow that is laid from a stop on."""
        pieces = (piece._replace(base=base + piece.base) for piece in part.pieces)
        for each in frame.written.steps.values():
            yield from self.of_step(each.step, frame, pieces)
        for end in frame.written.flow.ends.values():
            yield from self.of_end(end, frame, pieces)

    def of_step(self, step: Step, frame: Frame, pieces: Iterator[Piece]) -> Iterator[Spot]:
        """Give the spots of a step: where it is come to, and each round."""
        yield _spot(next(pieces), Kind.BEGIN, frame)
        letter = step.loop.letter if step.loop is not None else ""
        for gate, _, binding in self.layer.rounds(step, frame.binding):
            key = binding.keys_of(letter)[0] if letter else ""
            if gate is not None:
                yield _spot(next(pieces), Kind.GATE, frame, key=key)
            if step.cautions and step.loop is not None:
                yield _spot(next(pieces), Kind.AGAIN, frame, key=key)
            yield from self.of_body(step, binding, _spot(next(pieces), Kind.BODY, frame, key=key, letters=_letters(binding)))

    def of_body(self, step: Step, binding: Binding, spot: Spot) -> Iterator[Spot]:
        """Give the spot at which a step is done, or those of the block that it follows."""
        if step.follow is None:
            yield spot
            return
        block = self.shelf.blocks[step.follow.block]
        inner = inside(block, step.follow, binding)
        yield from self.of_frame(
            Frame(self.shelf.written(block), spot.frame.pace.inside(step.follow), inner, spot), spot.part, spot.base
        )

    def of_end(self, end: End, frame: Frame, pieces: Iterator[Piece]) -> Iterator[Spot]:
        """Give the spots of an ending: those of the block through which it is come to, and itself."""
        block = self.shelf.blocks.get(end.through)
        if block is not None:
            spot = _spot(next(pieces), Kind.END, frame)
            inner = Frame(self.shelf.written(block), frame.pace, inside(block, None, frame.binding), spot)
            yield from self.of_frame(inner, spot.part, spot.base)
        yield _spot(next(pieces), Kind.END, frame)


def _letters(binding: Binding) -> dict[str, str]:
    """Give the letters that stand for one key."""
    return {name: keys[0] for name, keys in binding.keys if len(keys) == 1}


def _spot(piece: Piece, kind: Kind, frame: Frame, *, key: str = "", letters: Mapping[str, str] | None = None) -> Spot:
    assert isinstance(piece.of, Step | End)
    return Spot(piece.base, piece.part, kind, piece.of, frame, key, letters or {})
