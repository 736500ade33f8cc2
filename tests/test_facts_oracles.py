"""Claims are held against each other as by trying everything, and as by an SMT solver, on random groups.

Smallest conflicts are compared with those of all subsets: a subset is one where it cannot be true and each subset with an
item less can (M. H. Liffiton, K. A. Sakallah, J. Autom. Reasoning 40 (2008), the definition).
"""

import random
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from functools import cache
from itertools import combinations, product
from typing import Any

import pytest

from proclint.analysis.facts.boxes import Box, contains
from proclint.analysis.facts.claims import Application, Claim, Statement
from proclint.analysis.facts.conflicts import Limits, members, smallest_conflicts
from proclint.analysis.facts.consistency import Consistency
from proclint.analysis.facts.reconcile import reconcile
from proclint.analysis.facts.space import Space
from proclint.catalogue import standard
from proclint.catalogue.domains import Domain, Unfit, between, domain_of, meet, one_of, union, without
from proclint.catalogue.entries import Attribute
from proclint.catalogue.relations import Law, Linear, Literal, Relations, relations_between
from proclint.source import Place

SEED = 20260601
LIMITS = Limits()
NUMBERS, WORDS = ("a", "b", "c"), ("p", "q")
DOMAINS = {
    **dict.fromkeys(NUMBERS, between(0, 3)),
    **dict.fromkeys(WORDS, one_of("x", "y", "z")),
    "mixed": Domain(((0, 2),), frozenset({"none"})),
}


@cache
def values(domain: Domain) -> Sequence[int | str]:
    """Give all values of a domain."""
    return [*(number for least, most in domain.spans for number in range(least, most + 1)), *sorted(domain.words)]


WORLDS: list[dict[str, int | str]] = [dict(zip(DOMAINS, each, strict=True)) for each in product(*map(values, DOMAINS.values()))]


def random_domain(name: str, chance: random.Random) -> Domain:
    """Draw what a statement leaves of an attribute: a value or two, or a range."""
    known = values(DOMAINS[name])
    if name in NUMBERS and chance.random() < 0.4:
        least = chance.randint(0, 3)
        return between(least, chance.randint(least, 3))
    drawn = chance.sample(known, chance.choice((1, 1, 2)))
    return union(between(each, each) if isinstance(each, int) else one_of(each) for each in drawn)


def random_linear(chance: random.Random) -> Linear:
    """Draw a sum of two to four values that is at most a number."""
    names = chance.sample((*NUMBERS, "mixed"), chance.choice((2, 3, 3, 4)))
    return Linear(tuple((chance.choice((1, 1, -1)), name) for name in names), chance.randint(1, 5))


def random_laws(chance: random.Random) -> list[Law]:
    """Draw sums, sums that are equal to a number, implications and sums under a condition."""
    laws = []
    for number in range(chance.randint(2, 5)):
        given: tuple[Literal, ...] = ()
        if chance.random() < 0.5:
            names = chance.sample(list(DOMAINS), chance.choice((1, 1, 2)))
            given = tuple(Literal(name, random_domain(name, chance)) for name in names)
        linear, name = random_linear(chance), chance.choice(list(DOMAINS))
        then = chance.choice((linear, linear, linear, Literal(name, random_domain(name, chance))))
        laws.append(Law(f"law-{number}", given, then))
        if isinstance(then, Linear) and chance.random() < 0.25:
            turned = tuple((-sign, name) for sign, name in then.terms)
            laws.append(Law(f"law-{number}", given, Linear(turned, -then.most)))
    return laws


def is_in(value: int | str, domain: Domain) -> bool:
    """Whether a value is in a domain, by trying all of it."""
    return value in values(domain)


def keeps(world: dict[str, int | str], law: Law) -> bool:
    """Whether a world keeps a law, read word by word."""
    if not all(is_in(world[literal.attribute], literal.domain) for literal in law.given):
        return True
    if isinstance(law.then, Literal):
        return is_in(world[law.then.attribute], law.then.domain)
    numbers = [(sign, world[name]) for sign, name in law.then.terms]
    if any(isinstance(value, str) for _, value in numbers):
        return False
    return sum(sign * int(value) for sign, value in numbers) <= law.then.most


def all_smallest(count: int, is_consistent: Callable[[int], bool]) -> set[int]:
    """Try every subset of some items, the smaller ones first."""
    found: list[int] = []
    for size in range(1, count + 1):
        for items in combinations(range(count), size):
            subset = sum(1 << item for item in items)
            if not any(each & ~subset == 0 for each in found) and not is_consistent(subset):
                found.append(subset)
    return set(found)


def random_statements(chance: random.Random, most: int) -> list[Statement]:
    """Draw different statements."""
    names = [*chance.sample(list(DOMAINS), 3), *(chance.choice(list(DOMAINS)) for _ in range(chance.randint(0, most - 3)))]
    return list(dict.fromkeys(Statement(name, random_domain(name, chance)) for name in names))


def random_group(chance: random.Random) -> tuple[list[Law], list[dict[str, int | str]]]:
    """Draw laws that some world keeps, with all worlds that do."""
    while True:
        laws = random_laws(chance)
        worlds = [world for world in WORLDS if all(keeps(world, law) for law in laws)]
        if worlds:
            return laws, worlds


def judge(statements: Sequence[Statement], worlds: list[dict[str, int | str]]) -> Callable[[int], bool]:
    """Make the question whether a set of statements is true in some world."""
    true_in = [
        sum(1 << number for number, world in enumerate(worlds) if is_in(world[each.attribute], each.domain))
        for each in statements
    ]

    def is_consistent(items: int) -> bool:
        left = (1 << len(worlds)) - 1
        for item in members(items):
            left &= true_in[item]
        return left != 0

    return is_consistent


def asked(consistency: Consistency, said: Sequence[tuple[str, Domain]]) -> Callable[[int], bool]:
    """Make the question whether a set of what is said holds."""
    return lambda items: consistency.holds([said[each] for each in members(items)])


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_conflicts_are_those_of_trying_every_world(number: int) -> None:
    """Consistency of each subset, and all smallest conflicts, are those that trying every assignment of small domains gives."""
    chance = random.Random(SEED)
    seen: Counter[str] = Counter()
    for _ in range(number):
        laws, worlds = random_group(chance)
        statements = random_statements(chance, 7)
        consistency, truth = Consistency(laws, DOMAINS, LIMITS), judge(statements, worlds)
        holds = asked(consistency, statements)
        for items in range(1, 1 << len(statements)):
            assert truth(items) == holds(items), (laws, statements, items)
        expected = all_smallest(len(statements), truth)
        found = smallest_conflicts((1 << len(statements)) - 1, holds, LIMITS)
        assert (expected, None) == (set(found.sets), found.open)
        seen.update(f"of {each.bit_count()}" for each in expected)
        seen["subsets"] += (1 << len(statements)) - 1
        check_relations_behind(consistency, laws, [[statements[each] for each in members(items)] for items in expected])
    print(f"{number} groups, {dict(seen)}")
    assert seen["of 3"] + seen["of 4"] > number / 50


def check_relations_behind(consistency: Consistency, laws: list[Law], conflicts: list[list[Statement]]) -> None:
    """Hold that the relations named make a conflict, and that none of them is idle."""
    for conflict in conflicts[:1]:
        names = consistency.relations_behind(conflict)
        for kept, expected in ((names, False), *((set(names) - {name}, True) for name in names)):
            worlds = [world for world in WORLDS if all(keeps(world, law) for law in laws if law.relation in kept)]
            assert expected == judge(conflict, worlds)((1 << len(conflict)) - 1)


# Vehicles that can all be tried: three models of which nobody names one, four years, two gearboxes.
NARROWS = {
    "make": Attribute("make", "name", "", None, None, (), "A", narrows=True, several="", note=""),
    "model": Attribute("model", "name", "", None, None, (), "A", narrows=True, several="", note=""),
    "years": Attribute("years", "years", "", Decimal(2000), Decimal(2003), (), "A", narrows=True, several="", note=""),
    "gearbox": Attribute("gearbox", "words", "", None, None, ("manual", "automatic"), "B", narrows=True, several="all", note=""),
}


def boxed(space: Space, **said: str) -> Box:
    """Make a box."""
    found = space.box(said)
    assert not isinstance(found, Unfit)
    return found


def random_claims(space: Space, chance: random.Random) -> list[Claim]:
    """Draw rows of two or three statements, some of all models."""
    claims = []
    for row in range(chance.randint(2, 7)):
        first = chance.randint(2000, 2003)
        model, years = chance.choice(("m", "n", "m", "n", "")), f"{first}-{chance.randint(first, 2003)}"
        box = boxed(
            space, make="k" if model else "", model=model, years=years, gearbox=chance.choice(("manual", "automatic", ""))
        )
        application = Application(f"source-{row}", box, Place.of_file(f"{row}.csv"))
        said = random_statements(chance, 4)
        claims += [Claim(statement, application, column, "") for column, statement in enumerate(said)]
    return claims


@pytest.mark.parametrize("number", [20, pytest.param(2_000, marks=pytest.mark.long)])
def test_conflicts_bite_where_trying_every_vehicle_says(number: int) -> None:
    """The conflicts of claims, where they bite and who is behind them are those that every single vehicle has."""
    chance, decided = random.Random(SEED), 0
    seen: Counter[int] = Counter()
    for _ in range(number):
        space = Space(NARROWS)
        places = product("kl", "mno", range(2000, 2004), ("manual", "automatic"))
        vehicles = [boxed(space, make=k, model=m, years=str(y), gearbox=g) for k, m, y, g in places]
        laws, worlds = random_group(chance)
        claims = random_claims(space, chance)
        relations = Relations({}, {}, DOMAINS, {}, tuple(laws), {})
        found = reconcile(claims, relations, space)
        assert () == found.undecided
        # With so few nodes most models are looked at vehicle by vehicle; what is decided is decided alike.
        limited = reconcile(claims, relations, space, Limits(nodes=9))
        assert limited == found or limited.undecided
        decided += not limited.undecided
        expected = bites(claims, vehicles, worlds)
        ours: dict[frozenset[Statement], set[Box]] = {}
        for conflict in found.conflicts:
            here = {each for each in vehicles if any(contains(box, each) for box in conflict.boxes)}
            ours.setdefault(frozenset(conflict.statements), set()).update(here)
            assert_behind(conflict.claims, conflict.statements, claims, here)
        assert expected == ours
        seen.update(map(len, expected))
    print(f"{number} tables, {decided} decided with few nodes, conflicts by size {dict(seen)}")
    assert decided > number / 4
    assert seen[2] > number
    assert seen[3] > number / 10


def bites(claims: list[Claim], vehicles: list[Box], worlds: list[dict[str, int | str]]) -> dict[frozenset[Statement], set[Box]]:
    """Find the smallest conflicts of each vehicle, and the vehicles of each."""
    found: dict[frozenset[Statement], set[Box]] = {}
    for vehicle in vehicles:
        said = list(dict.fromkeys(claim.statement for claim in claims if contains(claim.box, vehicle)))
        for items in all_smallest(len(said), judge(said, worlds)):
            found.setdefault(frozenset(said[item] for item in members(items)), set()).add(vehicle)
    return found


def assert_behind(
    behind: tuple[tuple[Claim, ...], ...], statements: tuple[Statement, ...], claims: list[Claim], here: set[Box]
) -> None:
    """Hold that the claims behind each statement are all that make it of a vehicle where the conflict bites."""
    for told, statement in zip(behind, statements, strict=True):
        making = [claim for claim in claims if claim.statement == statement]
        assert {id(claim) for claim in told} >= {id(c) for c in making if any(contains(c.box, vehicle) for vehicle in here)}
        assert {id(claim) for claim in told} <= {id(claim) for claim in making}


@pytest.mark.parametrize("number", [1_000, pytest.param(100_000, marks=pytest.mark.long)])
def test_intervals_clash_in_pairs(number: int) -> None:
    """Closed intervals that meet two by two all meet (E. Helly, 1923, in one dimension), so their conflicts are pairs."""
    chance = random.Random(SEED)
    pairs = 0
    nothing = Consistency((), {}, LIMITS)
    for _ in range(number):
        ends = [sorted((chance.randint(0, 20), chance.randint(0, 20))) for _ in range(chance.randint(2, 7))]
        said = [("n", between(least, most)) for least, most in ends]
        found = smallest_conflicts((1 << len(said)) - 1, asked(nothing, said), LIMITS)
        apart = {(a, b) for b in range(len(ends)) for a in range(b) if ends[a][0] > ends[b][1] or ends[b][0] > ends[a][1]}
        assert apart == {tuple(members(each)) for each in found.sets}
        pairs += len(apart)
    print(f"{number} groups, {pairs} pairs")
    assert pairs > number


def test_alternatives_clash_in_threes() -> None:
    """One of two values, three times over, clashes only when all three are said."""
    said = [("n", Domain(spans, frozenset())) for spans in (((1, 2),), ((2, 3),), ((1, 1), (3, 3)))]
    nothing = Consistency((), {}, LIMITS)
    found = smallest_conflicts(7, asked(nothing, said), LIMITS)
    assert (7,) == found.sets


@pytest.mark.parametrize("number", [1_000, pytest.param(100_000, marks=pytest.mark.long)])
def test_domains_are_sets_of_values(number: int) -> None:
    """What two domains have in common, and one without the other, agree with sets of their values."""
    chance = random.Random(SEED)
    for _ in range(number):
        one, other = random_domain("mixed", chance), random_domain(chance.choice(("mixed", "a", "p")), chance)
        assert set(values(meet(one, other))) == set(values(one)) & set(values(other))
        assert set(values(without(one, other))) == set(values(one)) - set(values(other))
        assert meet(one, other).is_empty == (not values(meet(one, other)))


# The packaged relations, as an SMT solver reads them.
RELATIONS = relations_between(standard().attributes)
_WORD = 10**6


class Solver:
    """z3 with the packaged laws; a word is a number beyond all numbers."""

    def __init__(self) -> None:
        self.z3: Any = pytest.importorskip("z3")
        self.words = {
            word: _WORD * 1000 + n for n, word in enumerate(sorted({w for d in RELATIONS.domains.values() for w in d.words}))
        }
        self.values = {name: self.z3.Int(name) for name in RELATIONS.domains}
        self.solver = self.z3.Solver()
        self.solver.add(*(self.lies_in(name, domain) for name, domain in RELATIONS.domains.items()))
        self.solver.add(*map(self.law, RELATIONS.laws))

    def lies_in(self, name: str, domain: Domain) -> Any:  # noqa: ANN401 - z3 has no types
        """Say that a value lies in a domain."""
        value = self.values[name]
        spans = [self.z3.And(value >= least, value <= most) for least, most in domain.spans]
        return self.z3.Or(*spans, *(value == self.words[word] for word in sorted(domain.words)))

    def law(self, law: Law) -> Any:  # noqa: ANN401 - z3 has no types
        """Say a law."""
        given = self.z3.And(*(self.lies_in(literal.attribute, literal.domain) for literal in law.given))
        if isinstance(law.then, Literal):
            return self.z3.Implies(given, self.lies_in(law.then.attribute, law.then.domain))
        numbers = [self.values[name] < _WORD * 1000 for _, name in law.then.terms]
        total = self.z3.Sum(*(sign * self.values[name] for sign, name in law.then.terms))
        return self.z3.Implies(given, self.z3.And(*numbers, total <= law.then.most))

    def holds(self, said: Iterable[Statement]) -> bool:
        """Whether statements can be true."""
        answer = self.solver.check(*(self.lies_in(each.attribute, each.domain) for each in said))
        assert answer in (self.z3.sat, self.z3.unsat)
        return bool(answer == self.z3.sat)


def drawn_near(chance: random.Random, consistency: Consistency, most: int) -> list[Statement]:
    """Draw statements about attributes that the packaged laws connect: those of one law, and some around it."""
    law = chance.choice(RELATIONS.laws)
    near = sorted(consistency.parts[law.attributes[0]])
    more = chance.sample(near, min(len(near), chance.randint(1, most - len(law.attributes))))
    return list(dict.fromkeys(Statement(name, drawn_domain(name, chance)) for name in (*law.attributes, *more)))


def drawn_domain(name: str, chance: random.Random) -> Domain:
    """Draw a part of what a packaged attribute can be: a number, a range to either end, two of them, or words."""
    whole = domain_of(RELATIONS.attributes[name])
    assert whole is not None
    words = frozenset(chance.sample(sorted(whole.words), chance.randint(1, len(whole.words))) if whole.words else ())
    if not whole.spans or (words and chance.random() < 0.3):
        return Domain((), words)
    ((low, high),) = whole.spans
    number = chance.randint(low, min(high, low + chance.choice((3, 8, high - low))))
    drawn = chance.choice((between(number, number), between(low, number), between(number, high)))
    return drawn if chance.random() < 0.8 else union((between(low, low), between(number + 2, high), Domain((), words)))


@pytest.mark.parametrize("number", [4, pytest.param(400, marks=pytest.mark.long)])
def test_a_solver_finds_the_same_conflicts(number: int) -> None:
    """On the packaged relations z3 says the same of every subset of a group, and so the smallest conflicts are the same."""
    solver, chance, seen = Solver(), random.Random(SEED), Counter[str]()
    consistency = Consistency(RELATIONS.laws, RELATIONS.domains, LIMITS)
    for _ in range(number):
        said = drawn_near(chance, consistency, 7)
        truth = {items: solver.holds([said[each] for each in members(items)]) for items in range(1 << len(said))}
        holds = asked(consistency, said)
        assert truth == {items: holds(items) for items in truth}, said
        found = smallest_conflicts((1 << len(said)) - 1, holds, LIMITS)
        assert (all_smallest(len(said), truth.__getitem__), None) == (set(found.sets), found.open)
        seen.update(f"of {each.bit_count()}" for each in found.sets)
        seen["subsets"] += len(truth)
    print(f"{number} groups, {dict(seen)}")
    assert seen["subsets"] > 10 * number


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_a_solver_agrees_on_sets_of_claims(number: int) -> None:
    """On the packaged relations z3 says the same of a set of claims, and that a smallest conflict less any claim holds."""
    solver, chance, seen = Solver(), random.Random(SEED + 1), Counter[str]()
    consistency = Consistency(RELATIONS.laws, RELATIONS.domains, LIMITS)
    for _ in range(number):
        said = drawn_near(chance, consistency, 9)
        ours = consistency.holds(said)
        assert solver.holds(said) == ours, said
        seen["hold" if ours else "clash"] += 1
        if not ours:
            whole = (1 << len(said)) - 1
            found = smallest_conflicts(whole, asked(consistency, said), LIMITS)
            first = [said[each] for each in members(found.sets[0])]
            assert not solver.holds(first)
            assert all(solver.holds([other for other in first if other is not each]) for each in first)
    print(f"{number} sets of claims, {dict(seen)}")
    assert min(seen["hold"], seen["clash"]) > number / 10
