"""The parts of the explorer, on machines small enough to be seen through."""

from collections.abc import Callable

import pytest

from proclint.analysis.explorer import (
    Broken,
    Explored,
    Open,
    Reached,
    SearchLimits,
    explore,
    shortest_way,
    shortest_ways,
)
from proclint.analysis.machine import Effect, Guard, Layout, Machine, Move, Stop
from proclint.analysis.suspects import Suspect, suspects
from proclint.analysis.walk import SPENT, Breach, Entered, enter, take

# Two variables: a switch (0 off, 1 on) and a dial (0, 1, 2).
SWITCH, DIAL = 0, 1
LAYOUT = Layout((2, 3))
OFF, ON, EITHER = 0b01, 0b10, 0b11
ZERO, ONE, TWO, ANY = 0b001, 0b010, 0b100, 0b111
TURN_ON = (SWITCH, (ON, ON))
TURN_UP = (DIAL, (ONE, TWO, TWO))
END = Stop()


def move(by: int = 1, *, guards: tuple[Guard, ...] = (), effects: tuple[Effect, ...] = (), resets: tuple[int, ...] = ()) -> Move:
    """Make a move of the two variables."""
    return Move(by, LAYOUT.change(guards=guards, effects=effects), resets)


def machine(*stops: Stop, masks: tuple[int, int] = (OFF, ZERO), unstated: tuple[int, ...] = ()) -> Machine:
    """Make a machine of the two variables, both known at the start if nothing else is said."""
    return Machine(LAYOUT, LAYOUT.state(masks, unstated), stops)


IS_ON = LAYOUT.check(SWITCH, ON)
CHECKED = Stop((IS_ON,))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Layout((1,)),
        lambda: Layout((65,)),
        lambda: LAYOUT.state((OFF,)),
        lambda: LAYOUT.state((0, ZERO)),
        lambda: LAYOUT.state((0b100, ZERO)),
        lambda: LAYOUT.state((OFF, ZERO), unstated=(SWITCH,)),
        lambda: LAYOUT.check(SWITCH, 0),
        lambda: LAYOUT.check(SWITCH, 0b100),
        lambda: LAYOUT.change(guards=((SWITCH, 0b100),)),
        lambda: LAYOUT.change(effects=((SWITCH, (ON,)),)),
        lambda: LAYOUT.change(effects=((SWITCH, (0, ON)),)),
        lambda: LAYOUT.change(effects=((SWITCH, (0b100, ON)),)),
        lambda: LAYOUT.change(effects=(TURN_ON, TURN_ON)),
        lambda: machine(Stop(tries=0)).counters,
    ],
)
def test_parts_that_cannot_be_meant_are_refused(make: Callable[[], object]) -> None:
    """A part with no value, too many values, two effects on one variable or no try is refused when it is made."""
    with pytest.raises(ValueError, match=r"\.$"):
        make()


def test_a_state_says_what_it_was_made_of() -> None:
    """Masks and what was never stated can be read from a state, and fields be told from each other."""
    state = LAYOUT.state((EITHER, ONE | TWO), unstated=(SWITCH,))
    assert ((EITHER, ONE | TWO), frozenset({SWITCH})) == (LAYOUT.masks(state), LAYOUT.unstated(state))
    assert (SWITCH, DIAL) == LAYOUT.variables(state)
    assert (DIAL,) == LAYOUT.variables(LAYOUT.field(DIAL))


@pytest.mark.parametrize(
    ("masks", "unstated", "grade", "after"),
    [
        ((EITHER, ONE | TWO), (), None, ONE | TWO),
        ((EITHER, ZERO), (), "must", ONE | TWO),
        ((EITHER, ZERO | ONE), (), "may", ONE),
        ((EITHER, ANY), (), "may", ONE | TWO),
        ((EITHER, ANY), (DIAL,), "unstated", ONE | TWO),
    ],
)
def test_grades(masks: tuple[int, int], unstated: tuple[int, ...], grade: str | None, after: int) -> None:
    """A check that does not hold is graded by what is possible and what was stated, and taken as mended."""
    drawn = machine(Stop((LAYOUT.check(DIAL, ONE | TWO),)), masks=masks, unstated=unstated)
    entered = enter(drawn, drawn.start, 0)
    assert ([] if grade is None else [Breach(0, grade, drawn.start)]) == list(entered.breaches)  # type: ignore[arg-type]
    assert (after, DIAL in unstated and grade is None) == (LAYOUT.masks(entered.state)[1], DIAL in LAYOUT.unstated(entered.state))


def test_checks_of_one_variable_are_made_in_order() -> None:
    """The second check on a variable starts from what the first left, and any value at all is no demand."""
    drawn = machine(
        Stop((LAYOUT.check(DIAL, ANY), LAYOUT.check(DIAL, ONE | TWO), LAYOUT.check(DIAL, ONE), LAYOUT.check(DIAL, ONE)))
    )
    entered = enter(drawn, drawn.start, 0)
    assert [(1, "must"), (2, "may")] == [(each.check, each.grade) for each in entered.breaches]
    assert [(OFF, ZERO), (OFF, ONE | TWO)] == [LAYOUT.masks(each.state) for each in entered.breaches]


@pytest.mark.parametrize(
    ("made", "after", "is_unstated"),
    [
        (move(), ANY, True),
        (move(guards=((DIAL, ANY),)), ANY, True),
        (move(guards=((DIAL, ONE | TWO),)), ONE | TWO, False),
        (move(guards=((DIAL, ONE | TWO), (DIAL, ZERO | ONE))), ONE, False),
        (move(guards=((DIAL, ONE), (DIAL, TWO))), None, False),
        (move(guards=((DIAL, 0),)), None, False),
        (move(effects=(TURN_UP,)), ONE | TWO, True),
        (move(effects=((DIAL, (TWO, ONE, ZERO)),)), ANY, True),
        (move(effects=((DIAL, (TWO, TWO, TWO)),)), TWO, False),
        (move(guards=((DIAL, ZERO),), effects=(TURN_UP,)), ONE, False),
    ],
)
def test_moves(made: Move, after: int | None, is_unstated: bool) -> None:
    """Guards narrow in order and may close; then effects follow; a guard that narrows and a constant effect state a value."""
    drawn = machine(Stop(moves=(made,)), END, masks=(OFF, ANY), unstated=(DIAL,))
    state = take(drawn, drawn.start, 0, 0)
    found = None if state is None else (LAYOUT.masks(state)[DIAL], DIAL in LAYOUT.unstated(state))
    assert (None if after is None else (after, is_unstated)) == found


def test_guard_that_narrows_nothing_states_nothing() -> None:
    """What was never stated, but can no longer be anything, is as unstated behind a guard that lets all of it pass."""
    drawn = machine(
        Stop(moves=(move(effects=(TURN_UP,)),)), Stop(moves=(move(guards=((DIAL, ONE | TWO),)),)), masks=(OFF, ANY), unstated=(1,)
    )
    turned = take(drawn, drawn.start, 0, 0)
    assert turned is not None
    assert turned == take(drawn, turned, 1, 0)
    assert {DIAL} == LAYOUT.unstated(turned)


def test_a_stop_is_spent_after_its_tries() -> None:
    """The third entry of a stop with two tries checks nothing and leaves it as spent, until a move sets its count to 0."""
    again = move(0, effects=(TURN_ON,))
    drawn = machine(Stop((IS_ON,), (again, move(0, resets=(0, 1))), tries=2, spent=move()), END)
    state, seen = drawn.start, []
    for index in (0, 1, 0, 0, SPENT):
        entered = enter(drawn, state, 0)
        seen.append((len(entered.breaches), entered.is_spent))
        after = take(drawn, entered.state, 0, index)
        assert after is not None
        state = after
    assert [(1, False), (0, False), (0, False), (0, False), (0, True)] == seen
    assert Entered(state, (), is_spent=False) == enter(drawn, state, 1)


def test_no_suspect_is_a_proof() -> None:
    """Where both ways set what is checked there is no suspect, and the explorer finds nothing."""
    branch = Stop(moves=(move(1, effects=(TURN_ON,)), move(2, effects=(TURN_ON,))))
    drawn = machine(branch, Stop(moves=(move(),)), CHECKED, CHECKED)
    assert ((), Explored((), ())) == (suspects(drawn), explore(drawn))


def test_unreached_stop_is_not_suspect() -> None:
    """What no way leads to is not checked."""
    drawn = machine(Stop(moves=(move(2), move(guards=((SWITCH, 0),)))), CHECKED, END)
    assert () == suspects(drawn)
    assert None is shortest_way(drawn, 1)


@pytest.mark.parametrize(
    ("effects", "expected"),
    [
        ((), [(0, True)]),
        # Turned round it still may be anything, and nobody said what.
        (((DIAL, (TWO, ONE, ZERO)),), [(0, True)]),
        # Turned up it is one or two, which is no longer anything.
        ((TURN_UP,), [(0, False)]),
        (((DIAL, (ONE, ONE, ONE)),), []),
    ],
)
def test_suspect_for_no_reason_but_that_nobody_said(effects: tuple[Effect, ...], expected: list[tuple[int, bool]]) -> None:
    """A suspect says where it can only be that nobody stated the value; a check that was made before counts as kept."""
    checks = (LAYOUT.check(DIAL, ONE), LAYOUT.check(DIAL, ONE))
    drawn = machine(Stop(moves=(move(effects=effects),)), Stop(checks), masks=(OFF, ANY), unstated=(DIAL,))
    assert [Suspect(1, index, is_only) for index, is_only in expected] == list(suspects(drawn))
    assert ["unstated" for _ in expected] == [each.grade for each in explore(drawn).broken]


@pytest.mark.parametrize(
    "stops",
    [
        # A guard that nothing passes.
        (Stop(moves=(move(guards=((DIAL, 0),)),)), CHECKED),
        # A check that everything passes.
        (Stop((LAYOUT.check(DIAL, ANY),)),),
        # Turned up the dial cannot be at zero.
        (Stop(moves=(move(effects=(TURN_UP,)),)), Stop(moves=(move(guards=((DIAL, ZERO),)),)), CHECKED),
        # Behind the first check the second holds, whatever it was that the first found.
        (Stop((LAYOUT.check(DIAL, ANY), LAYOUT.check(DIAL, ANY))),),
    ],
)
def test_no_more_is_suspect_than_need_be(stops: tuple[Stop, ...]) -> None:
    """What was never stated makes nothing suspect that its values, each for itself, do not make so."""
    assert () == suspects(machine(*stops, masks=(OFF, ANY), unstated=(DIAL,)))


def test_guard_states_what_nobody_said() -> None:
    """Behind a guard on it a variable is known, so a check that goes with the guard is not suspect."""
    asks = Stop(moves=(move(1, guards=((SWITCH, ON),)), move(2, guards=((SWITCH, OFF),))))
    drawn = machine(asks, CHECKED, CHECKED, masks=(EITHER, ZERO), unstated=(SWITCH,))
    assert (Suspect(2, 0, is_only_unstated=False),) == suspects(drawn)
    assert [(2, "must")] == [(each.stop, each.grade) for each in explore(drawn).broken]


def test_gravest_grade_is_told_not_the_nearest() -> None:
    """A check that may be broken on a short way, and must be on a long one, is told with the long one."""
    stops = (
        Stop(moves=(move(3, effects=((SWITCH, (EITHER, EITHER)),)), move(1))),
        Stop(moves=(move(),)),
        Stop(moves=(move(),)),
        CHECKED,
    )
    drawn = machine(*stops)
    assert (Broken(3, 0, "must", ((0, 1), (1, 0), (2, 0)), drawn.start),) == explore(drawn).broken


def test_lines_inside_a_step_cost_nothing() -> None:
    """Of two ways that one is shortest which has the fewest steps, however many lines; of equal ones the first."""
    line = Stop(moves=(move(),), cost=0)
    drawn = machine(
        Stop(moves=(move(4), move(1), move(1))), line, line, Stop(moves=(move(2),), cost=0), Stop(moves=(move(),)), CHECKED
    )
    assert [((0, 1), (1, 0), (2, 0), (3, 0))] == [each.way for each in explore(drawn).broken]


# The way to the check is open only where the switch was turned on before, which needs the way round.
ROUND = (
    Stop(moves=(move(2), move(1))),
    Stop(moves=(move(1, effects=(TURN_ON,)),)),
    Stop(moves=(move(1, guards=((SWITCH, ON),)),)),
    Stop((LAYOUT.check(DIAL, ONE),)),
)


def test_guard_on_another_variable_is_followed() -> None:
    """A way that another variable closes is not told; the next shortest is."""
    drawn = machine(*ROUND)
    assert [((0, 1), (1, 0), (2, 0))] == [each.way for each in explore(drawn).broken]
    found = shortest_way(drawn, 3)
    assert isinstance(found, Reached)
    assert (3, ((0, 1), (1, 0), (2, 0)), (ON, ZERO)) == (found.stop, found.way, LAYOUT.masks(found.state))


def test_suspect_that_no_way_breaks_is_refuted() -> None:
    """What only a way breaks that two guards close together is not told."""
    sets = (DIAL, (TWO, TWO, TWO))
    drawn = machine(
        Stop(moves=(move(guards=((SWITCH, ON),), effects=(sets,)), move(guards=((SWITCH, OFF),)))),
        Stop(moves=(move(guards=((DIAL, ZERO | TWO), (SWITCH, OFF))), move(2, guards=((DIAL, ZERO | TWO), (SWITCH, ON))))),
        Stop((LAYOUT.check(DIAL, ZERO),)),
        END,
        masks=(EITHER, ZERO),
    )
    assert ((Suspect(2, 0, is_only_unstated=False),), Explored((), ())) == (suspects(drawn), explore(drawn))


def test_guard_on_the_checked_variable_is_always_followed() -> None:
    """A way that the checked variable itself closes is not gone, though another way opens the same guard."""
    asks = Stop(moves=(move(guards=((SWITCH, ON),)), move(guards=((DIAL, TWO),))))
    drawn = machine(Stop(moves=(move(2), move(1, effects=(TURN_ON,)))), Stop(moves=(move(),)), asks, CHECKED)
    assert ((), Explored((), ())) == (suspects(drawn), explore(drawn))
    mixed = machine(
        Stop(moves=(move(2), move(1, effects=(TURN_ON,)))), Stop(moves=(move(),)), asks, Stop((LAYOUT.check(SWITCH, OFF),))
    )
    assert [((0, 1), (1, 0), (2, 0))] == [each.way for each in explore(mixed).broken]


def test_tries_are_counted_where_they_matter() -> None:
    """That a step gives up is told with as many tries as it has, and a check is not made once they are used up."""
    step = Stop((LAYOUT.check(DIAL, ZERO | ONE),), (move(0, effects=(TURN_UP,)),), tries=2, spent=move())
    assert [(1, ((0, 0), (0, 0), (0, SPENT)))] == [(each.stop, each.way) for each in explore(machine(step, CHECKED)).broken]
    three = step._replace(tries=3)
    assert [(0, ((0, 0), (0, 0))), (1, ((0, 0),) * 3 + ((0, SPENT),))] == [
        (each.stop, each.way) for each in explore(machine(three, CHECKED)).broken
    ]


def test_count_begins_again_where_a_move_says_so() -> None:
    """A step with one try is done twice only on a way that sets its count to 0."""
    step = Stop(moves=(move(1, effects=(TURN_UP,)),), tries=1)
    back = Stop(moves=(move(2), move(-1), move(1)))
    anew = Stop(moves=(move(-2, resets=(-2,)),))
    drawn = machine(step, back, anew, Stop((LAYOUT.check(DIAL, ZERO | ONE),)))
    assert [((0, 0), (1, 2), (2, 0), (0, 0), (1, 0))] == [each.way for each in explore(drawn).broken]


def test_only_what_still_matters_is_followed() -> None:
    """A variable matters up to the guard that reads it unless it is set before, a count up to its stop unless it is set to 0."""
    counted = Stop(moves=(move(), move(3)), tries=1)
    drawn = machine(
        counted,
        Stop(moves=(move(guards=((SWITCH, ON), (DIAL, ZERO))),)),
        Stop(moves=(move(-1, effects=(TURN_ON,)), move(-2, effects=(TURN_ON,), resets=(-2,)))),
        END,
    )
    switch, dial, count = LAYOUT.field(SWITCH), LAYOUT.field(DIAL), drawn.counters[0].field
    assert (switch | dial | count, switch | dial, dial, 0) == drawn.lives


def test_way_ends_where_nothing_follows_the_tries() -> None:
    """A step whose tries are used up and that says nothing of it leads nowhere."""
    step = Stop(moves=(move(0), move(1, guards=((SWITCH, ON),))), tries=2)
    assert None is shortest_way(machine(step, CHECKED), 1)


def test_stops_stand_anywhere() -> None:
    """One and the same stop may stand at several places of a machine, as its moves say how far they lead."""
    up = Stop(moves=(move(effects=(TURN_UP,)),))
    drawn = machine(up, up, Stop((LAYOUT.check(DIAL, TWO),), (move(),)), up, Stop((LAYOUT.check(DIAL, ONE),)))
    assert [(4, "must")] == [(each.stop, each.grade) for each in explore(drawn).broken]


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        (SearchLimits(rounds=1), Open(3, 0, "must", "rounds", (SWITCH, DIAL), ())),
        (SearchLimits(states=2), Open(3, 0, "must", "states", (DIAL,), ())),
        (SearchLimits(total=0), Open(3, 0, "must", "total", (SWITCH, DIAL), ())),
    ],
)
def test_a_limit_is_never_silent(limits: SearchLimits, expected: Open) -> None:
    """A check that meets a limit is open, with the limit's name and what was to be followed."""
    assert Explored((), (expected,)) == explore(machine(*ROUND), limits=limits)


def test_a_limit_is_named_with_the_counts_followed() -> None:
    """A way that needs a count followed is open where there is no search left for it."""
    step = Stop(moves=(move(0),), tries=2, spent=move())
    assert Open(1, None, None, "rounds", (), (0,)) == shortest_way(machine(step, END), 1, limits=SearchLimits(rounds=1))


def test_lesser_grade_is_told_while_a_graver_one_is_open() -> None:
    """Where the search for the gravest grade meets a limit, what was found before is told, and that it may be worse."""
    branch = Stop(moves=(move(3, effects=((SWITCH, (EITHER, EITHER)),)), move(1)))
    drawn = machine(branch, Stop(moves=(move(),)), Stop(moves=(move(),)), CHECKED)
    found = explore(drawn, limits=SearchLimits(states=3))
    assert [("may", ((0, 0),))] == [(each.grade, each.way) for each in found.broken]
    assert [("must", "states")] == [(each.grade, each.limit) for each in found.open]


def test_searches_are_shared_by_the_ways_to_several_stops() -> None:
    """Ways to all stops are found together, one answer for each."""
    drawn = machine(*ROUND, END)
    found = shortest_ways(drawn, range(5))
    assert [0, 1, 1, 3, None] == [None if each is None else len(each.way) for each in found if not isinstance(each, Open)]


def test_what_is_known_of_stops_holds_from_any_start() -> None:
    """A machine that starts elsewhere gives what one drawn with that start gives, and works nothing of its stops out again."""
    drawn, start = machine(*ROUND), LAYOUT.state((ON, TWO))
    known = drawn.lives
    other = drawn.from_start(start)
    assert explore(machine(*ROUND, masks=(ON, TWO))) == explore(other)
    assert known is other.lives
    assert start == other.start
