"""The explorer agrees with two independent tools on random machines, and keeps its verdict where nothing that matters changed.

The first is full enumeration, written here anew from the meaning of the parts as they are given (guards and effects in words of
values, not bits of a state). The second is z3, an SMT solver (L. de Moura, N. Bjoerner 2008), which knows nothing of
states visited: it is asked for a way of so many moves (bounded model checking; A. Biere, A. Cimatti, E. Clarke, Y. Zhu 1999).
The properties are metamorphic relations (T. Y. Chen, S. C. Cheung, S. M. Yiu 1998). Sources from memory.
"""

import random
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple, TypeAlias

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proclint.analysis.explorer import Explored, Open, explore, explore_from, shortest_ways
from proclint.analysis.machine import Change, Check, Guard, Layout, Machine, Move, Stop
from proclint.analysis.suspects import suspects
from proclint.analysis.walk import SPENT, Breach, enter, move_at, take

SEED = 20261125


class Widths(NamedTuple):
    """How large a drawn machine may be: stops, variables, values of a variable; and whether lines inside a step may cost 0."""

    stops: int = 9
    variables: int = 4
    values: int = 4
    has_lines: bool = True


class Drawing:
    """Draws one machine."""

    def __init__(self, chance: random.Random, widths: Widths) -> None:
        self._chance = chance
        self._has_lines = widths.has_lines
        self._count = chance.randint(3, widths.stops)
        self._sizes = tuple(chance.randint(2, widths.values) for _ in range(chance.randint(2, widths.variables)))
        self._layout = Layout(self._sizes)

    def machine(self) -> Machine:
        """Give the machine."""
        unstated = {variable for variable in range(len(self._sizes)) if self._chance.random() < 0.4}
        masks = [(1 << size) - 1 if each in unstated else self._mask(size) for each, size in enumerate(self._sizes)]
        return Machine(self._layout, self._layout.state(masks, unstated), tuple(map(self._stop, range(self._count))))

    def _mask(self, size: int) -> int:
        return self._chance.randint(1, (1 << size) - 1)

    def _variable(self) -> tuple[int, int]:
        variable = self._chance.randrange(len(self._sizes))
        return variable, self._sizes[variable]

    def _stop(self, at: int) -> Stop:
        chance = self._chance
        checks = tuple(self._check() for _ in range(chance.choice((0, 0, 1, 1, 2))))
        moves = tuple(self._move(at) for _ in range(chance.choice((0, 1, 1, 1, 2, 2, 2, 3, 3))))
        tries = chance.randint(1, 3) if chance.random() < 0.4 else None
        spent = self._move(at) if tries is not None and chance.random() < 0.7 else None
        return Stop(checks, moves, tries, spent, chance.choice((0, 1)) if self._has_lines else 1)

    def _check(self) -> Check:
        variable, size = self._variable()
        return self._layout.check(variable, self._mask(size))

    def _move(self, at: int) -> Move:
        chance = self._chance
        guards = tuple(self._guard() for _ in range(chance.choice((0, 0, 0, 0, 1, 1, 2))))
        chosen = chance.sample(range(len(self._sizes)), chance.choice((0, 0, 1, 1, 2)))
        effects = tuple((variable, self._table(self._sizes[variable])) for variable in chosen)
        resets = tuple(chance.randrange(self._count) - at for _ in range(chance.choice((0, 0, 0, 1))))
        return Move(chance.randrange(self._count) - at, self._layout.change(guards=guards, effects=effects), resets)

    def _guard(self) -> Guard:
        variable, size = self._variable()
        return variable, 0 if self._chance.random() < 0.03 else self._mask(size)

    def _table(self, size: int) -> tuple[int, ...]:
        if self._chance.random() < 0.5:
            return (self._mask(size),) * size
        return tuple(self._mask(size) for _ in range(size))


# What is known of a variable: the values it may have, and whether nobody ever stated it.
Knowledge: TypeAlias = tuple[frozenset[int], bool]
Known: TypeAlias = tuple[Knowledge, ...]
Verdicts: TypeAlias = dict[tuple[int, int, str], int]
GRAVITY = {"must": 0, "may": 1, "unstated": 2}


class Whole(NamedTuple):
    """A complete state: the stop that is about to be entered, what is known, and how often each stop was entered."""

    stop: int
    known: Known
    entries: tuple[int, ...]


def values(mask: int) -> frozenset[int]:
    """Give the values of a mask."""
    return frozenset(value for value in range(64) if mask >> value & 1)


class Enumeration:
    """Visits every complete state of a machine, cheapest first: what is broken and reached, at what least cost."""

    def __init__(self, machine: Machine) -> None:
        self.broken: Verdicts = {}
        self.reached: dict[int, int] = {}
        self.states: set[Whole] = set()
        self.farthest = 0
        self._machine = machine
        layout = machine.layout
        known = [(values(mask), each in layout.unstated(machine.start)) for each, mask in enumerate(layout.masks(machine.start))]
        first = Whole(0, tuple(known), (0,) * len(machine.stops))
        waiting = {machine.stops[0].cost: [first]}
        while waiting:
            cost = min(waiting)
            for whole in waiting.pop(cost):
                for after in self._visit(whole, cost):
                    waiting.setdefault(cost + machine.stops[after.stop].cost, []).append(after)

    def _visit(self, whole: Whole, cost: int) -> list[Whole]:
        if whole in self.states:
            return []
        self.states.add(whole)
        self.farthest = cost
        self.reached.setdefault(whole.stop, cost)
        stop = self._machine.stops[whole.stop]
        if stop.tries is not None and whole.entries[whole.stop] >= stop.tries:
            moves = (stop.spent,) if stop.spent is not None else ()
            return self._after(moves, whole)
        count = whole.entries[whole.stop] + 1 if stop.tries is not None else 0
        entries = (*whole.entries[: whole.stop], count, *whole.entries[whole.stop + 1 :])
        known = list(whole.known)
        for index, check in enumerate(stop.checks):
            grade, known[check.variable] = checked(known[check.variable], values(check.good))
            if grade is not None:
                self.broken.setdefault((whole.stop, index, grade), cost)
        return self._after(stop.moves, Whole(whole.stop, tuple(known), entries))

    @staticmethod
    def _after(moves: tuple[Move, ...], whole: Whole) -> list[Whole]:
        found = []
        for move in moves:
            changed = moved(whole.known, move.change)
            if changed is not None:
                anew = {whole.stop + by for by in move.resets}
                counts = tuple(0 if stop in anew else count for stop, count in enumerate(whole.entries))
                found.append(Whole(whole.stop + move.by, changed, counts))
        return found

    def gravest(self) -> Verdicts:
        """Give of each broken check the gravest grade only."""
        return gravest(self.broken)


def gravest(broken: Verdicts) -> Verdicts:
    """Give of each broken check the gravest grade only."""
    found: Verdicts = {}
    for stop, check, grade in sorted(broken, key=lambda each: GRAVITY[each[2]]):
        if not any((stop, check, other) in found for other in GRAVITY):
            found[stop, check, grade] = broken[stop, check, grade]
    return found


def checked(knowledge: Knowledge, good: frozenset[int]) -> tuple[str | None, Knowledge]:
    """Give the grade in which a check is broken, None if it holds, and what is known from then on."""
    possible, is_unstated = knowledge
    if possible <= good:
        return None, knowledge
    if not possible & good:
        return "must", (good, False)
    return "unstated" if is_unstated else "may", (possible & good, False)


def moved(known: Known, change: Change) -> Known | None:
    """Give what is known after a move, None if it is closed."""
    found = list(known)
    for variable, mask in change.guards:
        possible, is_unstated = found[variable]
        if not possible & values(mask):
            return None
        found[variable] = possible & values(mask), is_unstated and possible <= values(mask)
    for variable, table in change.effects:
        possible, is_unstated = found[variable]
        image = frozenset[int]().union(*(values(table[value]) for value in possible))
        found[variable] = image, is_unstated and len(set(table)) > 1
    return tuple(found)


def cost_of(machine: Machine, way: tuple[tuple[int, int], ...], stop: int) -> int:
    """Give what a way costs that ends by entering a stop."""
    return sum(machine.stops[each].cost for each, _ in way) + machine.stops[stop].cost


def told(machine: Machine, found: Explored) -> Verdicts:
    """Give what the explorer found as the enumeration gives it."""
    return {(each.stop, each.check, each.grade): cost_of(machine, each.way, each.stop) for each in found.broken}


def walked(machine: Machine, way: tuple[tuple[int, int], ...], goal: int) -> int:
    """Walk a way by the public steps, in which every move must be open and lead on to the next; give the last state."""
    state = machine.start
    for (stop, index), following in zip(way, [*(stop for stop, _ in way), goal][1:], strict=True):
        entered = enter(machine, state, stop)
        assert entered.is_spent == (index == SPENT)
        assert stop + move_at(machine, stop, index).by == following
        after = take(machine, entered.state, stop, index)
        assert after is not None
        state = after
    return state


@pytest.mark.parametrize("number", [1_000, pytest.param(100_000, marks=pytest.mark.long)])
def test_full_enumeration_agrees(number: int) -> None:
    """On random machines the explorer finds the same broken checks in the same grades, at the same least cost, by real ways."""
    chance = random.Random(SEED)
    seen: Counter[str] = Counter()
    for _ in range(number):
        machine = Drawing(chance, Widths()).machine()
        whole, found, suspect = Enumeration(machine), explore(machine), suspects(machine)
        assert () == found.open
        assert gravest(whole.broken) == told(machine, found)
        for each in found.broken:
            breaches = enter(machine, walked(machine, each.way, each.stop), each.stop).breaches
            assert Breach(each.check, each.grade, each.state) in breaches
        named = {(each.stop, each.check) for each in suspect}
        graver = {(stop, check) for stop, check, grade in whole.broken if grade != "unstated"}
        assert {(stop, check) for stop, check, _ in whole.broken} <= named
        assert not graver & {(each.stop, each.check) for each in suspect if each.is_only_unstated}
        seen.update(each.grade for each in found.broken)
        seen.update(machines=1, states=len(whole.states), suspects=len(suspect), refuted=len(suspect) - len(found.broken))
        seen.update(spent=sum(any(index == SPENT for _, index in each.way) for each in found.broken))
        seen["most states"] = max(seen["most states"], len(whole.states))
        seen["longest way"] = max(seen["longest way"], *(len(each.way) for each in found.broken), 0)
    print(dict(seen))
    assert number == seen["machines"]
    assert min(seen["must"], seen["may"], seen["unstated"], seen["refuted"], seen["spent"]) > 0


@pytest.mark.parametrize("number", [500, pytest.param(50_000, marks=pytest.mark.long)])
def test_several_starts_are_explored_at_once(number: int) -> None:
    """On random machines with two starts the gravest and nearest is told of what full enumeration finds from each."""
    chance = random.Random(SEED + 3)
    seen: Counter[str] = Counter()
    for _ in range(number):
        machine = Drawing(chance, Widths()).machine()
        layout = machine.layout
        other = layout.state([chance.randint(1, layout.full(each)) for each in range(len(layout.sizes))])
        both = [machine, machine.from_start(other)]
        least = Verdicts()
        for each in both:
            for broken, cost in Enumeration(each).broken.items():
                least[broken] = min(cost, least.get(broken, cost))
        found = explore_from(machine, [(each.start, suspects(each)) for each in both])
        assert () == found.open
        assert gravest(least) == told(machine, found)
        seen.update(machines=1, broken=len(found.broken), less=len(found.broken) - len(explore(machine).broken))
    print(dict(seen))
    assert number == seen["machines"]
    assert min(seen["broken"], seen["less"]) > 0


@pytest.mark.parametrize("number", [500, pytest.param(50_000, marks=pytest.mark.long)])
def test_shortest_ways_are_those_of_full_enumeration(number: int) -> None:
    """On random machines a shortest way is given to just the stops that are reached, at the least cost, and it can be walked."""
    chance = random.Random(SEED + 2)
    seen: Counter[str] = Counter()
    for _ in range(number):
        machine = Drawing(chance, Widths()).machine()
        least = Enumeration(machine).reached
        for stop, found in enumerate(shortest_ways(machine, range(len(machine.stops)))):
            assert not isinstance(found, Open)
            assert (stop in least) == (found is not None)
            if found is not None:
                assert least[stop] == cost_of(machine, found.way, stop)
                assert found.state == walked(machine, found.way, stop)
        seen.update(machines=1, reached=len(least), unreached=len(machine.stops) - len(least))
    print(dict(seen))
    assert number == seen["machines"]
    assert min(seen["reached"], seen["unreached"]) > 0


# z3 carries no types.
Term: TypeAlias = Any


class Moment:
    """The unknowns of a machine at one moment: stop, values (a bit each), flags and counts."""

    def __init__(self, z3: Term, machine: Machine, number: int) -> None:
        self.stop = z3.BitVec(f"stop-{number}", 8)
        self.values = [z3.BitVec(f"values-{number}-{each}", size) for each, size in enumerate(machine.layout.sizes)]
        self.flags = [z3.Bool(f"flag-{number}-{each}") for each in range(len(machine.layout.sizes))]
        self.counts = [z3.BitVec(f"count-{number}-{each}", 4) for each in range(len(machine.stops))]


class Unrolling:
    """A machine as constraints on a way of more and more moves, in which everything may be asked of the last moment."""

    def __init__(self, machine: Machine) -> None:
        self._z3 = pytest.importorskip("z3")
        self._machine = machine
        self._solver = self._z3.SolverFor("QF_BV")
        self._last = Moment(self._z3, machine, 0)
        self.moves = 0
        layout = machine.layout
        unstated = layout.unstated(machine.start)
        self._solver.add(self._last.stop == 0, *(count == 0 for count in self._last.counts))
        self._solver.add(*(mine == mask for mine, mask in zip(self._last.values, layout.masks(machine.start), strict=True)))
        self._solver.add(*(flag == (each in unstated) for each, flag in enumerate(self._last.flags)))

    def broken(self, asked: set[tuple[int, int, str]]) -> set[tuple[int, int, str]]:
        """Give which of these checks can be broken in these grades at the last moment."""
        terms = {(stop, *each): term for stop in range(len(self._machine.stops)) for each, term in self._entered(stop)[2].items()}
        found = set()
        for each in asked:
            if self._solver.check(terms[each]) == self._z3.sat:
                found.add(each)
        return found

    def go_on(self) -> None:
        """Add one move."""
        self.moves += 1
        following = Moment(self._z3, self._machine, self.moves)
        self._solver.add(self._z3.Or(*self._taken(following)))
        self._last = following

    def _is_spent(self, stop: int) -> Term:
        tries = self._machine.stops[stop].tries
        return self._z3.BoolVal(False) if tries is None else self._last.counts[stop] == tries  # noqa: FBT003

    def _entered(self, stop: int) -> tuple[list[Term], list[Term], dict[tuple[int, str], Term]]:
        """Give values and flags after the checks of a stop, and for each check and grade when it is broken."""
        z3, values, flags, terms = self._z3, list(self._last.values), list(self._last.flags), {}
        here = z3.And(self._last.stop == stop, z3.Not(self._is_spent(stop)))
        for index, check in enumerate(self._machine.stops[stop].checks):
            old, flag = values[check.variable], flags[check.variable]
            none, broken = old & check.good == 0, old & ~check.good != 0
            terms[index, "must"] = z3.And(here, broken, none)
            terms[index, "unstated"] = z3.And(here, broken, z3.Not(none), flag)
            terms[index, "may"] = z3.And(here, broken, z3.Not(none), z3.Not(flag))
            values[check.variable] = z3.If(none, z3.BitVecVal(check.good, old.size()), old & check.good)
            flags[check.variable] = z3.And(flag, z3.Not(broken))
        return values, flags, terms

    def _taken(self, following: Moment) -> Iterator[Term]:
        """Give for each move what it is to take it."""
        z3, last = self._z3, self._last
        for at, stop in enumerate(self._machine.stops):
            values, flags, _ = self._entered(at)
            counts = list(last.counts)
            counts[at] = last.counts[at] + (stop.tries is not None)
            for move in stop.moves:
                moved = self._moved(Whole(at, (), ()), move, (values, flags, counts), following)
                yield z3.And(last.stop == at, z3.Not(self._is_spent(at)), *moved)
            if stop.spent is not None:
                moved = self._moved(Whole(at, (), ()), stop.spent, (last.values, last.flags, last.counts), following)
                yield z3.And(last.stop == at, self._is_spent(at), *moved)

    def _moved(
        self, at: Whole, move: Move, before: tuple[list[Term], list[Term], list[Term]], following: Moment
    ) -> Iterator[Term]:
        """Give what holds if a move is taken from these values, flags and counts."""
        z3, (values, flags, counts) = self._z3, (list(each) for each in before)
        for variable, mask in move.change.guards:
            yield values[variable] & mask != 0
            flags[variable] = z3.And(flags[variable], values[variable] & ~mask == 0)
            values[variable] = values[variable] & mask
        for variable, table in move.change.effects:
            old, image = values[variable], z3.BitVecVal(0, values[variable].size())
            for value, mask in enumerate(table):
                image = image | z3.If(
                    z3.Extract(value, value, old) == 1, z3.BitVecVal(mask, old.size()), z3.BitVecVal(0, old.size())
                )
            values[variable] = image
            flags[variable] = z3.And(flags[variable], len(set(table)) > 1)
        for by in move.resets:
            counts[at.stop + by] = z3.BitVecVal(0, 4)
        yield following.stop == at.stop + move.by
        pairs = ((values, following.values), (flags, following.flags), (counts, following.counts))
        yield from (mine == theirs for ours, others in pairs for mine, theirs in zip(ours, others, strict=True))


@pytest.mark.parametrize("number", [10, pytest.param(1_000, marks=pytest.mark.long)])
def test_z3_agrees(number: int) -> None:
    """On random machines z3 finds ways of the lengths the explorer tells, and none shorter or to any other broken check."""
    chance = random.Random(SEED + 1)
    seen: Counter[str] = Counter()
    for _ in range(number):
        machine = Drawing(chance, Widths(stops=5, variables=3, values=3, has_lines=False)).machine()
        checks = [(at, index) for at, stop in enumerate(machine.stops) for index in range(len(stop.checks))]
        unrolling, broken = Unrolling(machine), Verdicts()
        # That no complete state is farther is the word of the enumeration.
        for length in range(1, Enumeration(machine).farthest + 1):
            asked = {(*check, grade) for check in checks for grade in GRAVITY} - set(broken)
            broken |= dict.fromkeys(unrolling.broken(asked), length)
            unrolling.go_on()
        found = told(machine, explore(machine))
        assert gravest(broken) == found
        seen.update(grade for _, _, grade in found)
        seen["longest way"] = max(seen["longest way"], *found.values(), 0)
        seen.update(machines=1, moves=unrolling.moves, less_grave=len(broken) - len(found), asked=3 * len(checks))
    print(dict(seen))
    assert number == seen["machines"]
    assert min(seen["must"], seen["may"], seen["unstated"]) > 0


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    """Draw a machine."""
    return Drawing(random.Random(draw(st.integers(0, 1 << 32))), Widths()).machine()


def with_stops(machine: Machine, stops: Iterable[Stop]) -> Machine:
    """Give a machine of other stops and the same start."""
    return Machine(machine.layout, machine.start, tuple(stops))


def worse_nowhere(before: Verdicts, after: Verdicts) -> bool:
    """Say whether whatever was broken still is, as gravely at least and, if just as gravely, at no greater cost."""
    now = {(stop, check): (GRAVITY[grade], cost) for (stop, check, grade), cost in after.items()}
    return all(
        (stop, check) in now and now[stop, check] <= (GRAVITY[grade], cost) for (stop, check, grade), cost in before.items()
    )


@settings(max_examples=300)
@given(machines(), st.data())
def test_more_ways_mend_nothing(machine: Machine, data: st.DataObject) -> None:
    """A copy of a move without its guards takes no broken check away, and makes none less grave or farther."""
    leaving = [index for index, stop in enumerate(machine.stops) if stop.moves]
    assume(leaving)
    at = data.draw(st.sampled_from(leaving))
    stop = machine.stops[at]
    move = data.draw(st.sampled_from(stop.moves))
    unguarded = move._replace(change=machine.layout.change(effects=move.change.effects))
    more = stop._replace(moves=(*stop.moves, unguarded))
    again = with_stops(machine, (*machine.stops[:at], more, *machine.stops[at + 1 :]))
    assert worse_nowhere(told(machine, explore(machine)), told(again, explore(again)))


def moved_to(move: Move, at: int, new: Mapping[int, int]) -> Move:
    """Give a move of a stop as it is when stops have new places."""
    resets = tuple(new[at + by] - new[at] for by in move.resets)
    return move._replace(by=new[at + move.by] - new[at], resets=resets)


@settings(max_examples=300)
@given(machines(), st.randoms(use_true_random=False))
def test_renaming_stops_changes_nothing(machine: Machine, chance: random.Random) -> None:
    """Stops in another order, the first still first, break the same checks in the same grades at the same cost."""
    order = list(range(1, len(machine.stops)))
    chance.shuffle(order)
    new = {old: place for place, old in enumerate((0, *order))}
    stops = [
        stop._replace(
            moves=tuple(moved_to(move, at, new) for move in stop.moves),
            spent=None if stop.spent is None else moved_to(stop.spent, at, new),
        )
        for at, stop in enumerate(machine.stops)
    ]
    again = with_stops(machine, (stops[old] for old in (0, *order)))
    before = {(new[stop], check, grade): cost for (stop, check, grade), cost in told(machine, explore(machine)).items()}
    assert before == told(again, explore(again))


@settings(max_examples=300)
@given(machines())
def test_order_of_moves_changes_no_verdict(machine: Machine) -> None:
    """Moves in the opposite order change which of equal ways is told, and nothing else."""
    again = with_stops(machine, (stop._replace(moves=stop.moves[::-1]) for stop in machine.stops))
    assert told(machine, explore(machine)) == told(again, explore(again))


@settings(max_examples=300)
@given(machines())
def test_checks_that_hold_change_nothing(machine: Machine) -> None:
    """With the checks taken out that are not suspect, as many of the others are broken as before."""
    doubtful = {(each.stop, each.check) for each in suspects(machine)}
    kept = [[check for each, check in enumerate(stop.checks) if (at, each) in doubtful] for at, stop in enumerate(machine.stops)]
    again = with_stops(machine, (stop._replace(checks=tuple(checks)) for stop, checks in zip(machine.stops, kept, strict=True)))
    assert len(explore(machine).broken) == len(explore(again).broken)
