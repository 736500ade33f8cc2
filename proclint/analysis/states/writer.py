"""Writing a run stop by stop; stops at which nothing is checked are left out again."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from proclint.analysis.machine import Check, Move, Stop
from proclint.analysis.states.cast import Cast
from proclint.analysis.states.piece import Demand, Out, Run, Tables, Target
from proclint.analysis.states.truth import TRUE, Truth, otherwise
from proclint.analysis.walk import SPENT, image


class _Draft(NamedTuple):
    """A move in the making: where it leads, what it asks and what it does."""

    target: Target
    guards: Mapping[int, int]
    tables: Tables


class Writer:
    """Writes a run, stop by stop: moves that hang lead to the stop that is made next."""

    def __init__(self, cast: Cast) -> None:
        self.cast = cast
        self._checks: list[tuple[tuple[Check, Demand], ...]] = []
        self._moves: list[list[_Draft]] = []
        self._hanging: list[tuple[int, Mapping[int, int], Tables]] = []

    def stop(self, checks: Iterable[tuple[Check, Demand]] = ()) -> int:
        """Make a stop to which all that hangs leads."""
        index = len(self._moves)
        self._checks.append(tuple(checks))
        self._moves.append([])
        for source, guards, tables in self.hold():
            self._moves[source].append(_Draft(index, guards, tables))
        return index

    def go(self, source: int, when: Truth = TRUE, tables: Tables | None = None) -> None:
        """Let a move hang from a stop for each case of a truth."""
        self._hanging += [(source, case, tables or {}) for case in when.cases]

    def hold(self) -> list[tuple[int, Mapping[int, int], Tables]]:
        """Set aside all that hangs."""
        held, self._hanging = self._hanging, []
        return held

    def rejoin(self, held: list[tuple[int, Mapping[int, int], Tables]]) -> None:
        """Let what was set aside hang again, beside the rest."""
        self._hanging += held

    def leave(self, source: int, outcome: str, when: Truth = TRUE, tables: Tables | None = None) -> None:
        """Leave the run from a stop in the cases of a truth."""
        self._moves[source] += [_Draft(outcome, case, tables or {}) for case in when.cases]

    def leave_all(self, outcome: str) -> None:
        """Leave the run by all that hangs."""
        for source, guards, tables in self.hold():
            self._moves[source].append(_Draft(outcome, guards, tables))

    def apply(self, when: Truth, tables: Tables) -> None:
        """Change variables in the cases of a truth, and nothing in the others."""
        here = self.stop()
        self.go(here, when, tables)
        if when is not TRUE:
            self.go(here, otherwise(when, self.cast) if when.is_sure else TRUE)

    def run(self, *, tries: int | None = None, cost: int = 0) -> Run:
        """Give the run; its first stop costs `cost` and, with `tries`, can be entered so often and is left as `spent` after."""
        gone = self._shorten()
        kept = [index for index in range(len(self._moves)) if index not in gone]
        place = {index: at for at, index in enumerate(kept)}
        stops, outs, asked = [], [], {}
        for at, index in enumerate(kept):
            moves = []
            for number, (target, guards, tables) in enumerate(self._moves[index]):
                by = place[target] - at if isinstance(target, int) else 0
                moves.append(Move(by, self.cast.change(guards, tables)))
                if isinstance(target, str):
                    outs.append(Out(at, number, target))
            if self._checks[index]:
                asked[at] = tuple(demand for _, demand in self._checks[index])
            stops.append(Stop(tuple(check for check, _ in self._checks[index]), tuple(moves), cost=0))
        first = stops[0]._replace(cost=cost)
        if tries is not None:
            first = first._replace(tries=tries, spent=Move(0, self.cast.change({}, {})))
            outs.append(Out(0, SPENT, "spent"))
        return Run((first, *stops[1:]), tuple(outs), asked, (0,) if tries is not None else ())

    def _shorten(self) -> frozenset[int]:
        """Take out stops at which nothing is checked, by letting what leads there do what is done from there; give them."""
        gone = set()
        # What leads to a stop stays as it is while those behind it are taken out, as every move leads onward.
        leading: dict[Target, list[tuple[int, _Draft]]] = {}
        for at, moves in enumerate(self._moves):
            for draft in moves:
                leading.setdefault(draft.target, []).append((at, draft))
        for index in range(len(self._moves) - 1, 0, -1):
            if self._checks[index] or not self._moves[index]:
                continue
            arriving = leading.get(index, [])
            made = _through([draft for _, draft in arriving], self._moves[index])
            if made is None:
                continue
            for (at, draft), row in zip(arriving, made, strict=True):
                where = next(number for number, each in enumerate(self._moves[at]) if each is draft)
                self._moves[at][where : where + 1] = row
            gone.add(index)
        return frozenset(gone)


_CANNOT = _Draft("", {}, {})


def _through(arriving: list[_Draft], leaving: list[_Draft]) -> list[list[_Draft]] | None:
    """Give for each move that arrives the moves that do what it and one that leaves do; nothing where that is not fewer moves.

    Two forks on one variable become as many moves as one: what no state passes is left out.
    """
    rows, most = [], len(arriving) + len(leaving)
    for draft in arriving:
        row = []
        for after in leaving:
            found = _joined(draft, after)
            if found is _CANNOT:
                return None
            if found is not None:
                row.append(found)
        most -= len(row)
        if most < 0:
            return None
        rows.append(row)
    return rows


def _joined(first: _Draft, then: _Draft) -> _Draft | None:
    """Give one move that does what two do, nothing where no state passes both, `_CANNOT` where one move cannot."""
    if not then.guards and not then.tables:
        return _Draft(then.target, first.guards, first.tables)
    if not first.guards and not first.tables and all(then.guards.values()):
        return then
    guards, tables = dict(first.guards), dict(first.tables)
    for variable, mask in then.guards.items():
        table = tables.get(variable)
        if table is None:
            guards[variable] = guards.get(variable, mask) & mask
            if not guards[variable]:
                return None
        elif len(set(table)) > 1:
            return _CANNOT
        elif table[0] & mask:
            tables[variable] = (table[0] & mask,) * len(table)
        else:
            return None
    for variable, table in then.tables.items():
        before = tables.get(variable)
        tables[variable] = table if before is None else tuple(image(mask, table) for mask in before)
    return _Draft(then.target, guards, tables)
