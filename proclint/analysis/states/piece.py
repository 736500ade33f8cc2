"""Parts of a machine: runs of stops that can stand anywhere, with the outcomes by which they are left."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias

from proclint.analysis.machine import Change, Check, Move, Stop
from proclint.analysis.states.cast import Cast
from proclint.analysis.states.truth import TRUE, Narrowing, Truth, otherwise
from proclint.analysis.walk import SPENT
from proclint.model import Line

Tables: TypeAlias = Mapping[int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Demand:
    """What a check asks, for the person who reads the result: the rule and subject, and the line that needs it, none at an ending.

    `variable` has to be one of `good`. `hazard` is set where a caution is asked for.
    """

    rule: str
    subject: str
    line: Line | None
    variable: str
    good: tuple[str, ...]
    hazard: str = ""


class Out(NamedTuple):
    """A move that leaves a piece: its stop and index there, and the outcome."""

    stop: int
    move: int
    outcome: str


class Part(NamedTuple):
    """A piece inside another: what it is, a step or an ending as a rule, where it begins, and the piece."""

    of: object
    base: int
    piece: "Piece"


@dataclass(frozen=True, eq=False)
class Piece:
    """Stops, of which the first is entered first. `asked` are the demands of the checks of each stop that has any.

    `counted` are the stops that can be entered only so often, `parts` the pieces of which it was put together, if it was.
    """

    stops: tuple[Stop, ...]
    outs: tuple[Out, ...]
    asked: Mapping[int, tuple[Demand, ...]]
    counted: tuple[int, ...] = ()
    parts: tuple[Part, ...] = ()


@dataclass
class _Draft:
    checks: tuple[Check, ...]
    cost: int
    moves: list[tuple[int | str, Change]] = field(default_factory=list)


class Run:
    """A piece in the making, stop by stop: moves that hang lead to the stop that is made next."""

    def __init__(self, cast: Cast) -> None:
        self.cast = cast
        self._stops: list[_Draft] = []
        self._asked: dict[int, tuple[Demand, ...]] = {}
        self._hanging: list[tuple[int, Change]] = []

    def stop(self, checks: Iterable[tuple[Check, Demand]] = (), *, cost: int = 0) -> int:
        """Make a stop to which all that hangs leads."""
        index, found = len(self._stops), tuple(checks)
        self._stops.append(_Draft(tuple(check for check, _ in found), cost))
        if found:
            self._asked[index] = tuple(demand for _, demand in found)
        for source, made in self._hanging:
            self._stops[source].moves.append((index, made))
        self._hanging = []
        return index

    @property
    def last(self) -> int:
        """The stop that was made last."""
        return len(self._stops) - 1

    def go(self, source: int, when: Truth = TRUE, tables: Tables | None = None) -> None:
        """Let a move hang from a stop for each case of a truth."""
        for case in when.cases:
            self._hanging.append((source, self.cast.change(case, tables or {})))

    def hold(self) -> list[tuple[int, Change]]:
        """Set aside all that hangs."""
        held, self._hanging = self._hanging, []
        return held

    def rejoin(self, held: list[tuple[int, Change]]) -> None:
        """Let what was set aside hang again, beside the rest."""
        self._hanging += held

    def leave(self, source: int, outcome: str, when: Truth = TRUE, tables: Tables | None = None) -> None:
        """Leave the piece from a stop in the cases of a truth."""
        for case in when.cases:
            self._stops[source].moves.append((outcome, self.cast.change(case, tables or {})))

    def leave_all(self, outcome: str) -> None:
        """Leave the piece by all that hangs."""
        for source, made in self.hold():
            self._stops[source].moves.append((outcome, made))

    def apply(self, when: Truth, tables: Tables) -> None:
        """Change variables in the cases of a truth, and nothing in the others."""
        here = self.stop()
        self.go(here, when, tables)
        if when is not TRUE:
            self.go(here, otherwise(when, self.cast) if when.is_sure else TRUE)

    def piece(self, *, tries: int | None = None) -> Piece:
        """Give the piece; with `tries` its first stop can be entered so often, and is left as `spent` after."""
        outs = [
            Out(index, number, target)
            for index, draft in enumerate(self._stops)
            for number, (target, _) in enumerate(draft.moves)
            if isinstance(target, str)
        ]
        stops = [
            Stop(
                draft.checks,
                tuple(Move(target - index if isinstance(target, int) else 0, made) for target, made in draft.moves),
                cost=draft.cost,
            )
            for index, draft in enumerate(self._stops)
        ]
        if tries is None:
            return Piece(tuple(stops), tuple(outs), self._asked)
        stops[0] = stops[0]._replace(tries=tries, spent=Move(0, self.cast.change({}, {})))
        return Piece(tuple(stops), (*outs, Out(0, SPENT, "spent")), self._asked, (0,))


class Wire(NamedTuple):
    """Where an outcome of a piece leads: to another piece by its index, or out of the whole as an outcome of that.

    `resets`: the tries of the piece that it leads to count anew.
    """

    target: int | str
    resets: bool = False


def join(parts: Sequence[tuple[object, Piece]], wires: Mapping[tuple[int, str], Wire]) -> Piece:
    """Put pieces together; an outcome without a wire ends the way."""
    laid: list[Part] = []
    base = 0
    for of, piece in parts:
        laid.append(Part(of, base, piece))
        base += len(piece.stops)
    stops = [stop for part in laid for stop in part.piece.stops]
    outs: list[Out] = []
    for number, (_, base, piece) in enumerate(laid):
        # From behind, as a move that ends the way is taken out.
        for out in sorted(piece.outs, reverse=True):
            wire = wires.get((number, out.outcome))
            index = base + out.stop
            stop = stops[index]
            stops[index] = _wired(stop, out.move, index, wire, laid)
            if wire is not None and isinstance(wire.target, str):
                outs.append(Out(index, out.move, wire.target))
    asked = {base + at: demands for _, base, piece in laid for at, demands in piece.asked.items()}
    counted = tuple(base + at for _, base, piece in laid for at in piece.counted)
    return Piece(tuple(stops), tuple(outs), asked, counted, tuple(laid))


def _wired(stop: Stop, number: int, index: int, wire: Wire | None, laid: Sequence[Part]) -> Stop:
    move = stop.spent if number == SPENT else stop.moves[number]
    assert move is not None
    if wire is None or isinstance(wire.target, str):
        # Without a wire the way ends here: the guard that nothing passes.
        made = move if wire is not None else None
    else:
        _, base, piece = laid[wire.target]
        resets = tuple(base + each - index for each in piece.counted) if wire.resets else ()
        made = Move(base - index, move.change, resets)
    if number == SPENT:
        return stop._replace(spent=made)
    if made is None:
        made = Move(0, _CLOSED)
    return stop._replace(moves=(*stop.moves[:number], made, *stop.moves[number + 1 :]))


# A guard that nothing passes, whatever the layout.
_CLOSED = Change((), (), 0, (), 0, 0, ())
