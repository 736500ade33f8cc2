"""When conditions hold over the variables of a procedure, and what its names stand for."""

from collections.abc import Mapping
from decimal import Decimal
from itertools import product

import pytest

from proclint.analysis.file_study import study_file
from proclint.analysis.states.binding import Binding, holds, inside
from proclint.analysis.states.cast import Cast, Group
from proclint.analysis.states.effects import stages
from proclint.analysis.states.truth import FALSE, MAYBE, TRUE, Scene, Truth, all_hold, any_of, both, compared, otherwise
from proclint.analysis.states.truth import holds as atom_holds
from proclint.catalogue import Atom, Effect, Form, Operand, Sum, standard
from proclint.model import Block, Flow
from proclint.testing import ON, completed

KEYS = Group("O", 2, "key", "plain", is_original=True, is_cut=True)
SHADE = Group("K", 1, "", "", is_original=False, is_cut=False, is_given=True)
FACTS = (
    ("engine-during-learn", ("running",)),
    ("learn-pre", ("hood = closed | engine = stopped",)),
    ("code", ("none", "required")),
)
CAST = Cast(standard(), (KEYS, SHADE), ("n", "pause:n"), (("ignition-kind", ("keyed",)),), FACTS)
SCENE = Scene(CAST, "learn", "technician", {"key": "O1"}, {"n": "n"})


def number(name: str) -> int:
    """Give the number of a variable."""
    return CAST.number[name]


def case(text: str) -> dict[int, int]:
    """Give the narrowing of variables to words, as in `hood closed, ignition off on`."""
    named = (part.split() for part in text.split(", "))
    return {number(name): CAST.mask(number(name), words) for name, *words in named}


def asked(text: str, scene: Scene = SCENE) -> Truth:
    """Say when a condition in the catalogue's own words holds."""
    return all_hold(standard().in_cell(text).atoms, scene)


@pytest.mark.parametrize(
    ("text", "cases"),
    [
        ("hood = closed", ["hood closed"]),
        ("hood != closed", ["hood open"]),
        ("ignition in [off, on]", ["ignition off on"]),
        ("ignition not in [off, on]", ["ignition accessory crank"]),
        ("hood = closed and ignition = on", ["hood closed, ignition on"]),
        ("doors = closed", ["door-driver closed, door-passenger closed, doors-other closed"]),
        ("waits-done < 2", ["waits-done 0 1"]),
        ("key.cap - key.used >= 16", ["key.used 0, key.cap 16"]),
        ("doors = tailgate", []),
        ("every.place = pouch", []),
    ],
)
def test_cases_of_a_condition(text: str, cases: list[str]) -> None:
    """A condition holds in the cases in which each variable has one of the values that it names."""
    if cases:
        assert Truth(tuple(map(case, cases))) == asked(text)
    else:
        assert MAYBE == asked(text)


@pytest.mark.parametrize(
    ("text", "truth"),
    [
        ("ignition-kind = keyed", TRUE),
        ("ignition-kind != keyed", FALSE),
        ("ignition-kind = push-start", FALSE),
        ("ignition-kind in [keyed, push-start]", TRUE),
        ("action = learn", TRUE),
        ("action in [learn, erase]", TRUE),
        ("action not in [learn, erase]", FALSE),
        ("fact.engine-during-learn = running", TRUE),
        ("fact.engine-during-learn = stopped", FALSE),
        ("fact.code = required", MAYBE),
        ("fact.security-wait-count >= 1", MAYBE),
        ("hood = closed and ignition-kind = push-start", FALSE),
    ],
)
def test_what_is_settled(text: str, truth: Truth) -> None:
    """What the file, the line or a table settles is true or false; of what tables differ in nothing is sure."""
    assert truth == asked(text)


def test_conditions_in_a_cell() -> None:
    """All conditions in a cell hold together; of a cell that is not known, or cannot be read, nothing is."""
    fact = Atom(Sum(Operand(Form.FACT, "learn-pre")), "holds")
    assert Truth((case("hood closed, engine stopped"),)) == atom_holds(fact, SCENE)
    for cell in ((), (("learn-pre", ("hood near the shed",)),)):
        other = Cast(standard(), (KEYS,), (), (), cell)
        assert MAYBE == atom_holds(fact, Scene(other, "learn", "technician", {}, {}))


def test_a_sum_among_words() -> None:
    """Of a sum no word is known, and so nothing of whether it is one of some."""
    used, cap = (Operand(Form.VARIABLE, name) for name in ("used", "cap"))
    assert MAYBE == atom_holds(Atom(Sum(cap, "-", used), "in", words=("one",)), SCENE)


def fits(state: Mapping[int, int], narrowing: Mapping[int, int]) -> bool:
    """Say whether the value of each variable is one of those to which it is narrowed."""
    return all(mask >> state[variable] & 1 for variable, mask in narrowing.items())


@pytest.mark.parametrize("text", ["hood = closed", "ignition in [off, on]", "hood = closed and ignition = on", "doors = closed"])
def test_the_opposite(text: str) -> None:
    """A condition and its opposite never hold at once, and one of them always does: tried on every value of their variables."""
    truth = asked(text)
    opposite = otherwise(truth, CAST)
    named = sorted({variable for each in (*truth.cases, *opposite.cases) for variable in each})
    for values in product(*(range(CAST.layout.sizes[each]) for each in named)):
        state = dict(zip(named, values, strict=True))
        found = [any(fits(state, each) for each in side.cases) for side in (truth, opposite)]
        assert sorted(found) == [False, True]


def test_the_opposite_of_what_is_no_question() -> None:
    """What always holds never does not, also where it is said of every value; of what may hold the opposite may."""
    every = number("hood")
    assert () == otherwise(TRUE, CAST).cases
    assert () == otherwise(Truth(({every: CAST.full(every)},)), CAST).cases
    assert MAYBE == otherwise(MAYBE, CAST)


def test_more_cases_than_are_told_apart() -> None:
    """Of conditions with too many cases together nothing is known, and nothing wrong is said."""
    tens = [Truth(tuple({at: 1 << value} for value in range(10))) for at in (number("n"), number("pause:n"))]
    assert MAYBE == both(tens[0], tens[1], CAST)


def test_one_of_several() -> None:
    """One of several conditions is sure to hold only where it is so of each, or one always does."""
    closed = Truth((case("hood closed"),))
    assert TRUE == any_of((closed, TRUE))
    assert Truth((case("hood closed"), {}), is_sure=False) == any_of((closed, MAYBE))


@pytest.mark.parametrize(
    ("operator", "told"), [("=", True), ("!=", False), ("<", False), ("<=", True), (">", False), (">=", True)]
)
def test_numbers_alone(operator: str, told: bool) -> None:
    """Two numbers are compared as they are."""
    six = ((1, None, Decimal(6)),)
    assert (TRUE if told else FALSE) == compared(six, operator, six, CAST)


def test_more_than_two_numbers() -> None:
    """Of more than two variables in a comparison nothing is known."""
    terms = tuple((1, number(name), Decimal(0)) for name in ("n", "pause:n", "key.used"))
    assert MAYBE == compared(terms[:1], "=", terms[1:], CAST)


@pytest.mark.parametrize(
    ("operator", "pairs"),
    [("=", {("open", "open"), ("closed", "closed")}), ("!=", {("open", "closed"), ("closed", "open")})],
)
def test_two_variables_of_words(operator: str, pairs: set[tuple[str, str]]) -> None:
    """Two variables of words are compared word by word."""
    one, other = number("door-driver"), number("hood")
    found = compared(((1, one, Decimal(0)),), operator, ((1, other, Decimal(0)),), CAST)
    assert pairs == {(*CAST.words(one, each[one]), *CAST.words(other, each[other])) for each in found.cases}


def test_two_variables_without_a_word_in_common() -> None:
    """Two variables that have no word in common are never the same, and always differ."""
    one, other = (((1, number(name), Decimal(0)),) for name in ("hood", "ignition"))
    assert () == compared(one, "=", other, CAST).cases
    assert {0b01, 0b10} == {each[number("hood")] for each in compared(one, "!=", other, CAST).cases}


def flow_of(text: str) -> Flow:
    """Read a procedure or block, completed where it says too little."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    assert found.is_sound, found.faults
    return found.flow


BLOCK = """\
block: pause
given: {L: keys, long: duration, few: count}
exits: [ready]
steps: {rest: {do: wait long, then: ready}}
"""
CALLER = "steps: {rest: {follow: pause 1, given: {L: [O2, K], long: 5 s, few: 2}, then: all-right}}\n"


def inner() -> Binding:
    """Give the binding inside a block that is given two keys, a time and a count."""
    block, caller = flow_of(BLOCK), flow_of(CALLER)
    assert isinstance(block, Block)
    return inside(block, caller.steps["rest"].follow, Binding(CAST))


@pytest.mark.parametrize(
    ("word", "keys"),
    [
        ("L", ("O2", "K1")),
        ("L1", ("O2",)),
        ("L2", ("K1",)),
        ("L3", ("K1",)),
        ("L.missing", ("O2", "K1")),
        ("O", ("O1", "O2")),
        ("O1", ("O1",)),
        ("Z", ()),
        ("Z1", ()),
        ("twice", ()),
    ],
)
def test_keys_of_a_word_in_a_block(word: str, keys: tuple[str, ...]) -> None:
    """A letter given to a block is the keys that its caller gives, in their order; a rank counts among these."""
    assert keys == inner().keys_of(word)


def test_words_given_to_a_block() -> None:
    """A time or a count is what the caller gives; a block that is not given any has its own names."""
    assert ("5 s", "2", "hood") == tuple(map(inner().word, ("long", "few", "hood")))
    block = flow_of(BLOCK)
    assert isinstance(block, Block)
    assert "long" == inside(block, None, Binding(CAST)).word("long")


def test_a_count_is_the_blocks_own() -> None:
    """A number read in a block is another than one of that name outside it."""
    assert (number("pause:n"), number("n")) == (inner().variable("n"), Binding(CAST).variable("n"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("n < few", Truth(({number("pause:n"): 0b11},))),
        ("n >= 1 and n < few", Truth(({number("pause:n"): 0b10},))),
        ("key.free >= 16", Truth((case("key.used 0, key.cap 16"),))),
        ("hood = closed", Truth((case("hood closed"),))),
        ("doors = closed", Truth((case("door-driver closed, door-passenger closed, doors-other closed"),))),
        ("cylinder = L", Truth((case("cylinder O2 K1"),))),
        ("ignition-kind = push-start and hood = closed", FALSE),
        ("mileage.free >= 1", MAYBE),
        ("somebody says so", MAYBE),
        ("unread >= 1", MAYBE),
    ],
)
def test_conditions_on_ways(text: str, expected: Truth) -> None:
    """A condition on a way holds in the cases of the block's own numbers and keys; of what nobody read nothing is known."""
    assert expected == holds(text, inner(), CAST)


def effect(target: str, value: str) -> Effect:
    """Make an effect of a variable of the vehicle."""
    return Effect(Operand(Form.VARIABLE, target), Sum(Operand(Form.VARIABLE, value)), (), ())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("fact.security-wait > 0", TRUE),
        ("fact.security-wait > 10 min", FALSE),
        ("fact.security-wait <= 10 min", TRUE),
        ("fact.wait-resets-on = door", TRUE),
        ("fact.wait-resets-on = plug", TRUE),
        ("fact.wait-resets-on = hood", FALSE),
        ("fact.wait-resets-on != hood", TRUE),
        ("waits-done >= key.free", MAYBE),
    ],
)
def test_numbers_and_sets_in_a_table(text: str, expected: Truth) -> None:
    """A time in a table is compared in one unit, a set word by word; of three counts nothing is known."""
    facts = (("security-wait", ("600",)), ("wait-resets-on", ("door|plug",)))
    cast = Cast(standard(), (KEYS,), (), (), facts)
    assert expected == asked(text, Scene(cast, "learn", "technician", {}, {}))


def test_what_is_no_value_is_not_made() -> None:
    """An effect that names what is no value of its variable does nothing."""
    running = Effect(Operand(Form.VARIABLE, "hood"), Sum(Operand(Form.WORD, "running")), (), ())
    assert () == stages([running], SCENE)


def test_what_becomes_of_another_variable() -> None:
    """What becomes what another variable is may be anything, as far as one variable knows."""
    (stage,) = stages([effect("hood", "tailgate")], SCENE)
    assert {number("hood"): (0b11, 0b11)} == stage.tables
