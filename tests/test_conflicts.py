"""The smallest sets that cannot all be true, and the smallest mends: published examples, worked cases of the trade, limits."""

import random
from collections.abc import Callable, Iterable, Mapping

import pytest

from proclint.analysis.facts.claims import Application, Claim, ClaimReader, Statement
from proclint.analysis.facts.conflicts import Found, Limits, Open, members, smallest_conflicts, smallest_mends
from proclint.analysis.facts.consistency import Consistency
from proclint.analysis.facts.reconcile import Conflict, Reconciler, reconcile
from proclint.analysis.facts.repairs import clusters, missing_dimensions, narrowings, repairs
from proclint.analysis.facts.sources import Source, is_older, one_a_voice, out_of_scope, standing, voices
from proclint.analysis.facts.space import Space
from proclint.catalogue import standard
from proclint.catalogue.domains import Unfit, between, one_of
from proclint.catalogue.packaged import Tree, packaged
from proclint.catalogue.relations import Law, Linear, Literal, Relations, read_relations, relations_between
from proclint.catalogue.row import Row
from proclint.source import Place

SEED = 20260601
LIMITS = Limits()


def mask(items: Iterable[int]) -> int:
    """Give a set of numbers as bits."""
    return sum(1 << item for item in items)


def sets_of(found: Found) -> set[frozenset[int]]:
    """Give the sets found as sets of numbers."""
    return {frozenset(members(each)) for each in found.sets}


# Clauses as lists of literals: 1 is x1, -1 is not x1.
PUBLISHED = [[1], [-1], [-1, 2], [-2], [-1, 3], [-3]]


def satisfiable(clauses: list[list[int]]) -> bool:
    """Try every assignment of three variables."""
    worlds = [[sign * (number + 1) for number, sign in enumerate(signs)] for signs in signs_of(3)]
    return any(all(any(literal in world for literal in clause) for clause in clauses) for world in worlds)


def signs_of(count: int) -> list[tuple[int, ...]]:
    """Give all ways to give each of some variables a sign."""
    return [tuple(1 if bits >> bit & 1 else -1 for bit in range(count)) for bits in range(1 << count)]


def test_published_conflicts_and_mends() -> None:
    """Liffiton and Sakallah (2008, their running example, read second-hand): three smallest conflicts, five smallest mends."""
    found = smallest_conflicts(mask(range(6)), lambda items: satisfiable([PUBLISHED[each] for each in members(items)]), LIMITS)
    conflicts = {frozenset({1, 2}), frozenset({1, 3, 4}), frozenset({1, 5, 6})}
    assert conflicts == {frozenset(each + 1 for each in conflict) for conflict in sets_of(found)}
    mends = sets_of(smallest_mends(found.sets, LIMITS))
    expected = [{1}, {2, 3, 5}, {2, 3, 6}, {2, 4, 5}, {2, 4, 6}]
    assert {frozenset(each) for each in expected} == {frozenset(item + 1 for item in mend) for mend in mends}


@pytest.mark.parametrize(
    ("conflicts", "mends"),
    [
        # R. Reiter, "A theory of diagnosis from first principles", 1987, the full adder: conflicts {X1 X2} and {X1 A2 O1},
        # diagnoses {X1}, {X2 A2}, {X2 O1}. From memory; X1 X2 A1 A2 O1 are 0 to 4.
        ([{0, 1}, {0, 3, 4}], [{0}, {1, 3}, {1, 4}]),
        # Worked input and output of a public enumerator of minimal hitting sets (GitHub kaityo256/mhs_cpp, README, seen),
        # which follows K. Murakami, T. Uno, Discrete Appl. Math. 170 (2014).
        ([{7, 6, 4, 2}, {8, 7, 4, 2}, {8, 7, 3, 2}, {6, 5, 4, 2}], [{2}, {4, 3}, {8, 4}, {8, 6}, {7, 4}, {7, 5}, {7, 6}]),
        ([], [set()]),
        ([{1}, {1, 2}], [{1}]),
    ],
)
def test_published_mends(conflicts: list[set[int]], mends: list[set[int]]) -> None:
    """Published families of sets have the minimal hitting sets that were published."""
    assert {frozenset(each) for each in mends} == sets_of(smallest_mends([mask(each) for each in conflicts], LIMITS))


def random_conflicts(chance: random.Random, items: int) -> list[int]:
    """Draw conflicts of which none lies in another."""
    drawn = {mask(chance.sample(range(items), chance.randint(1, min(items, 4)))) for _ in range(chance.randint(0, 7))}
    return sorted(each for each in drawn if not any(each != other and other & ~each == 0 for other in drawn))


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_all_conflicts_are_found(number: int) -> None:
    """Whatever the smallest conflicts of a group are, from what is consistent all of them are found, and nothing else."""
    chance = random.Random(SEED)
    larger = 0
    for _ in range(number):
        items = chance.randint(1, 8)
        conflicts = random_conflicts(chance, items)
        found = smallest_conflicts(mask(range(items)), agreeing(conflicts), LIMITS)
        assert Found(found.sets) == found
        assert set(conflicts) == set(found.sets)
        assert sorted(found.sets, key=int.bit_count) == list(found.sets)
        larger += sum(each.bit_count() > 2 for each in found.sets)
    print(f"{number} groups, {larger} conflicts of three and more")
    assert larger > number / 4


def agreeing(conflicts: list[int]) -> Callable[[int], bool]:
    """Make the question whether a set holds no conflict."""
    return lambda items: not any(each & ~items == 0 for each in conflicts)


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_all_mends_are_found(number: int) -> None:
    """The smallest mends are those that trying every set finds."""
    chance = random.Random(SEED)
    seen = 0
    for _ in range(number):
        items = chance.randint(1, 8)
        conflicts = random_conflicts(chance, items)
        hitting = [each for each in range(1 << items) if all(each & conflict for conflict in conflicts)]
        smallest = {each for each in hitting if not any(other != each and other & ~each == 0 for other in hitting)}
        found = smallest_mends(conflicts, LIMITS)
        assert (smallest, None) == (set(found.sets), found.open)
        seen += len(smallest)
    print(f"{number} families, {seen} smallest mends")
    assert seen > number


def test_many_values_of_one_attribute_need_no_tree() -> None:
    """Twenty values of which each two clash are 190 pairs, within the usual limits."""
    found = smallest_conflicts(mask(range(20)), lambda items: items.bit_count() < 2, LIMITS)
    assert (190, None) == (len(found.sets), found.open)


@pytest.mark.parametrize(
    ("limits", "why"),
    [(Limits(sets=5), Open("sets", 5)), (Limits(nodes=20), Open("nodes", 20))],
)
def test_limits_are_told(limits: Limits, why: Open) -> None:
    """Where a limit is met what was found is right, and it is said that there may be more, and by which limit."""
    found = smallest_conflicts(mask(range(10)), lambda items: items.bit_count() < 4, limits)
    assert why == found.open
    assert all(each.bit_count() == 4 for each in found.sets)
    assert len(found.sets) < 210


def test_limit_of_mends_is_told() -> None:
    """Families with too many mends are given up, and it is said so."""
    pairs = [mask((2 * each, 2 * each + 1)) for each in range(12)]
    assert Found((), Open("nodes", 100)) == smallest_mends(pairs, Limits(nodes=100))
    assert 4_096 == len(smallest_mends(pairs, Limits(nodes=5_000)).sets)


# Relations and claims as the trade has them.
ATTRIBUTES = standard().attributes
RELATIONS = relations_between(ATTRIBUTES)


class Desk:
    """Claims made one by one, each with a name."""

    def __init__(self, relations: Relations = RELATIONS) -> None:
        self.space = Space(ATTRIBUTES)
        self.relations = relations
        self.reader = ClaimReader(relations, self.space)
        self.names: dict[int, str] = {}
        self.claims: list[Claim] = []

    def say(self, name: str, attribute: str, text: str, *, source: str = "", **said: str) -> Claim:
        """Make a claim about a value of the vehicles that are said; without a source its name is one."""
        box = self.space.box(
            {each.replace("_", "-"): words for each, words in {"make": "Ostrel", "model": "Tarn", **said}.items()}
        )
        assert not isinstance(box, Unfit)
        statement = self.reader.statement(attribute, text)
        assert isinstance(statement, Statement)
        claim = Claim(statement, Application(source or name, box, Place.of_file(f"{name}.yaml")), 0, text)
        self.names[id(claim)] = name
        self.claims.append(claim)
        return claim

    def conflicts(self) -> tuple[Conflict, ...]:
        """Reconcile all claims; nothing is left undecided."""
        found = reconcile(self.claims, self.relations, self.space)
        assert () == found.undecided
        return found.conflicts

    def named(self, conflict: Conflict) -> set[tuple[str, ...]]:
        """Name the claims behind each statement of a conflict."""
        return {tuple(self.names[id(claim)] for claim in behind) for behind in conflict.claims}

    def behind(self, conflict: Conflict) -> tuple[str, ...]:
        """Name the relations behind a conflict."""
        return Reconciler(self.relations, self.space, LIMITS).relations_behind(conflict)

    def bites(self, conflict: Conflict) -> list[dict[str, str]]:
        """Say where a conflict bites, make and model aside."""
        words = [self.space.words(box) for box in conflict.boxes]
        return [{name: text for name, text in each.items() if name not in ("make", "model")} for each in words]

    def without(self, *names: str) -> tuple[Conflict, ...]:
        """Reconcile the claims without some."""
        kept = [claim for claim in self.claims if self.names[id(claim)] not in names]
        return reconcile(kept, self.relations, self.space).conflicts


def only_conflict(desk: Desk, *names: str) -> Conflict:
    """Give the one conflict there is, which is between the claims named, and none once any of them is given up."""
    (conflict,) = desk.conflicts()
    assert {(name,) for name in names} == desk.named(conflict)
    assert [()] * len(names) == [desk.without(name) for name in names]
    return conflict


# The ten contradictions below are worked cases of the trade: common practice, no source.


def test_contradiction_of_a_cap_and_a_count() -> None:
    """Case 1: a cap of 4 and a count of 5 read after a learn cannot both be true; a learn that failed at 4 refutes nothing."""
    desk = Desk()
    desk.say("C1", "key-cap", "4")
    desk.say("C2", "keys-counted", "5")
    desk.say("failed at 4", "keys-before", "4", source="C3")
    assert ("keys-within-cap",) == desk.behind(only_conflict(desk, "C1", "C2"))
    observed = {"C1": Source("C1", 4, "2011-01-01"), "C2": Source("C2", 3, "2014-01-01", observed=True)}
    assert "key-cap" == repairs(desk.conflicts(), observed).sets[0][0].attribute


def test_contradiction_of_together_and_apart() -> None:
    """Case 2: keys learned together and a procedure that learns the remote by itself."""
    desk = Desk()
    desk.say("C1", "together", "true")
    desk.say("C2", "remote-learned-apart", "true")
    assert ("learned-together",) == desk.behind(only_conflict(desk, "C1", "C2"))


def test_contradiction_in_a_shared_year() -> None:
    """Case 3: two rows that touch say one wait and three; it bites in the year they share and needs no relation."""
    desk = Desk()
    desk.say("C1", "security-wait-count", "1", years="2008-2012", markets="region-1", ignition_kind="keyed")
    desk.say("C2", "security-wait-count", "3", years="2012-2016", markets="region-1", ignition_kind="keyed")
    desk.say("same wait", "security-wait", "600", years="2008-2012", markets="region-1", ignition_kind="keyed", source="C1")
    conflict = only_conflict(desk, "C1", "C2")
    assert [{"years": "2012", "markets": "region-1", "ignition-kind": "keyed"}] == desk.bites(conflict)
    assert () == desk.behind(conflict)


def test_contradiction_of_three_that_agree_in_pairs() -> None:
    """Case 4: two keys to close, one new key in the list, and none of the originals is here."""
    desk = Desk()
    desk.say("C1", "minimum-keys-to-close", "2")
    desk.say("C2", "new-keys", "1")
    desk.say("C3", "originals-present", "0")
    assert ("keys-to-close",) == desk.behind(only_conflict(desk, "C1", "C2", "C3"))
    trust = {name: Source(name, rank, "2020-01-01") for name, rank in (("C1", 2), ("C2", 5), ("C3", 3))}
    order = [mend[0].attribute for mend in repairs(desk.conflicts(), trust).sets]
    assert ["new-keys", "originals-present", "minimum-keys-to-close"] == order


def month(year: int, number: int) -> str:
    """Give a month as a count of months."""
    return str(12 * year + number - 1)


def test_contradiction_of_dates() -> None:
    """Case 5: a source of May 2010 is cited for a wait of a variant that was first built in September 2012."""
    desk = Desk()
    desk.say("C1", "source-month", month(2010, 5), variant="B")
    desk.say("C2", "cited", "true", variant="B")
    desk.say("C3", "first-built", month(2012, 9), variant="B")
    assert ("source-not-older",) == desk.behind(only_conflict(desk, "C1", "C2", "C3"))


def test_contradiction_of_a_lockout_budget() -> None:
    """Case 6: one try, a fallback of up to two that follows it, and a lockout at three: four claims and the relation."""
    text: Mapping[str, Tree] = {
        "quantities": {
            "first-tries": {"type": "count", "unit": "tries", "range": "0-9", "class": "A", "several": "one-of"},
            "more-tries": {"type": "count", "unit": "tries", "range": "0-9", "class": "A", "several": "one-of"},
            "more-follow": {"type": "truth", "class": "A"},
        },
        "nearness": {},
        "relations": {
            "budget": {
                "when": ["more-follow = true"],
                "then": ["first-tries + more-tries < code-tries-to-lockout"],
                "says": "Stop.",
            }
        },
    }
    desk = Desk(read_relations(Row("own.yaml", "", text), ATTRIBUTES))
    desk.say("C1", "code-tries-to-lockout", "3")
    desk.say("C2", "first-tries", "1")
    desk.say("C3", "more-tries", "2")
    desk.say("C4", "more-follow", "true")
    assert ("budget",) == desk.behind(only_conflict(desk, "C1", "C2", "C3", "C4"))
    packaged_desk = Desk()
    packaged_desk.say("C1", "code-tries-to-lockout", "3")
    packaged_desk.say("C2", "code-tries", "3")
    assert ("tries-below-lockout",) == packaged_desk.behind(only_conflict(packaged_desk, "C1", "C2"))


def test_contradiction_with_a_copy() -> None:
    """Case 7: 5 s by a video and by a hand-out that cites it, 2 s by the handbook: two statements, and two voices, not three."""
    desk = Desk()
    desk.say("C1", "cutout", "5")
    desk.say("C2", "cutout", "5")
    desk.say("C3", "cutout", "2")
    (conflict,) = desk.conflicts()
    assert {("C1", "C2"), ("C3",)} == desk.named(conflict)
    register = {
        "C1": Source("C1", 5, "2019-01-01"),
        "C2": Source("C2", 5, "2020-01-01", copied_from=("C1",)),
        "C3": Source("C3", 2, "2012-01-01"),
    }
    counted = [desk.names[id(claim)] for behind in conflict.claims for claim in one_a_voice(behind, register)]
    assert ["C1", "C3"] == sorted(counted)
    assert [1, 1] == [standing(behind, register).voices for behind in conflict.claims]
    first = repairs([conflict], register).sets[0]
    assert (desk.claims[0].statement,) == first


def test_contradiction_of_a_market() -> None:
    """Case 8: a part for 433.92 MHz in a procedure for two markets, of which one has 315: it bites there alone."""
    desk = Desk()
    desk.say("C1", "frequency", "315", markets="region-1")
    desk.say("other market", "frequency", "433.9", markets="region-2", source="C1")
    procedure = desk.say("C3", "part-frequency", "433.92", markets="region-1|region-2")
    conflict = only_conflict(desk, "C1", "C3")
    assert ("part-on-frequency",) == desk.behind(conflict)
    assert [{"markets": "region-1"}] == desk.bites(conflict)
    (narrowing,) = narrowings(conflict)
    assert procedure is narrowing.claim
    assert ["region-2"] == [desk.space.words(box)["markets"] for box in narrowing.left]


def test_contradiction_that_a_dimension_dissolves() -> None:
    """Case 9: remotes kept, dropped on board, kept by tool: the claim without a method clashes, and the third speaks for one."""
    desk = Desk()
    desk.say("C1", "drops-remotes-on-add", "false")
    desk.say("C2", "drops-remotes-on-add", "true", method="on-board")
    by_tool = desk.say("C3", "drops-remotes-on-add", "false", method="tool")
    conflict = only_conflict(desk, "C1", "C2")
    assert [{"method": "on-board"}] == desk.bites(conflict)
    (missing,) = missing_dimensions(conflict, desk.claims, desk.space)
    assert ("method", desk.claims[0].statement, (by_tool,)) == (missing.dimension, missing.statement, missing.elsewhere)


def test_two_procedures_that_differ_clash_with_no_row() -> None:
    """Case 10: where the vehicle asks, neither a procedure that adds nor one that replaces clashes with the row, only they do."""
    for learning in ("add", "replace-all"):
        desk = Desk()
        desk.say("C3", "add-mode", "tool-choice")
        desk.say("P", "learning", learning)
        assert () == desk.conflicts()
    desk = Desk()
    desk.say("C1", "learning", "replace-all")
    desk.say("C2", "learning", "add")
    assert () == desk.behind(only_conflict(desk, "C1", "C2"))


Said = list[tuple[str, str]]
BROKEN: list[tuple[Said, list[str]]] = [
    ([("keys-before", "3"), ("keys-added", "2"), ("keys-erased", "0"), ("key-cap", "4")], ["keys-within-cap"]),
    ([("keys-before", "3"), ("keys-added", "1"), ("keys-erased", "0"), ("keys-after", "3")], ["keys-add-up"]),
    ([("fobs-before", "4"), ("fobs-free", "1"), ("fob-cap", "6")], ["free-places-for-fobs"]),
    ([("keys-free", "1"), ("keys-added", "2"), ("keys-erased", "0")], ["keys-within-cap", "free-places-for-keys"]),
    (
        [("slots-shared", "true"), ("head-kind", "integrated"), ("keys-added", "1"), ("places-taken", "2")],
        ["one-place-for-an-integrated-key"],
    ),
    ([("valet-counts-in-key-cap", "true"), ("valet-cap", "3"), ("key-cap", "2")], ["valets-among-keys"]),
    ([("minimum-keys-to-start", "2"), ("minimum-keys-to-close", "1")], ["starts-with-what-closes"]),
    ([("head-kind", "fob"), ("minimum-keys-to-close", "2"), ("fob-cap", "1")], ["closing-within-fob-cap"]),
    ([("head-kind", "plain|integrated"), ("minimum-keys-to-close", "2"), ("key-cap", "1")], ["closing-within-key-cap"]),
    ([("remotes-present", "3"), ("new-remotes", "2"), ("remote-cap", "4")], ["remotes-at-hand"]),
    ([("together", "false"), ("head-kind", "integrated"), ("remote-learned-apart", "false")], ["learned-apart"]),
    ([("head-kind", "plain"), ("together", "true")], ["plain-has-no-buttons"]),
    ([("ignition-kind", "push-start"), ("head-kind", "plain")], ["push-start-has-fobs"]),
    ([("wait-written-most", "540"), ("security-wait", "600")], ["wait-long-enough"]),
    ([("wait-written-least", "660"), ("security-wait", "600")], ["wait-long-enough"]),
    ([("waits-written", "1"), ("security-wait-count", "3")], ["waits-as-many"]),
    ([("support-connected", "false"), ("job-takes", "90"), ("battery-lasts", "40")], ["job-within-battery"]),
    ([("lockout-waited", "300"), ("lockout", "600")], ["lockout-waited-out"]),
    ([("session-keepalive", "none"), ("security-wait", "600"), ("session-timeout", "300")], ["session-outlasts-wait"]),
    ([("part-chip-family", "crypto-80"), ("chip-family", "crypto-128")], ["part-of-chip-family"]),
    ([("method", "on-board"), ("originals-needed-on-board", "2"), ("originals-working", "1")], ["originals-for-on-board"]),
    ([("method", "on-board"), ("originals-needed-on-board", "not-possible")], ["originals-for-on-board"]),
    ([("add-mode", "replace-all"), ("consent-asked", "false")], ["replacing-all-is-declared"]),
    ([("add-mode", "add"), ("learning", "replace-all")], ["adding-keeps-the-others"]),
    ([("add-mode", "replace-all"), ("learning", "add")], ["replacing-drops-the-others"]),
    ([("drops-remotes-on-add", "true"), ("remotes-relearned", "false")], ["dropped-remotes-are-relearned"]),
    ([("min-write-voltage", "12.5"), ("support-voltage", "12.5")], ["support-between"]),
    ([("support-voltage", "14.201"), ("max-support-voltage", "14.2")], ["support-between"]),
    ([("test-run", "2"), ("cutout", "3-5")], ["test-outlasts-cutout"]),
    ([("wait-before-test", "20"), ("rearm", "30|45")], ["test-after-rearm"]),
    ([("high-voltage", "hybrid|electric"), ("ready-caution", "false")], ["ready-is-cautioned"]),
    ([("remotes-in-window", "5"), ("remote-cap", "4")], ["remotes-in-a-window"]),
]


@pytest.mark.parametrize(("said", "relations"), BROKEN)
def test_relations_are_broken_by_all_and_not_by_fewer(said: Said, relations: list[str]) -> None:
    """Each packaged relation makes a smallest conflict of values that break it; any of these less, and they hold."""
    desk = Desk()
    for name, text in said:
        desk.say(name, name, text)
    conflict = only_conflict(desk, *(name for name, _ in said))
    assert set(relations) == set(desk.behind(conflict))


def test_every_relation_was_broken_by_a_test() -> None:
    """No packaged relation is without a case here, other kinds of key and the worked cases counted."""
    told = {name for _, relations in BROKEN for name in relations}
    worked = {
        "keys-within-cap",
        "learned-together",
        "keys-to-close",
        "source-not-older",
        "tries-below-lockout",
        "part-on-frequency",
    }
    alike = {"remotes-within-cap", "fobs-within-cap", "valets-within-cap", "remotes-add-up", "fobs-add-up", "valets-add-up"}
    alike |= {"free-places-for-remotes", "free-places-for-valets"}
    assert set(RELATIONS.sayings) == told | worked | alike


@pytest.mark.parametrize("kind", ["remote", "fob", "valet"])
def test_each_kind_of_key_has_the_relations_of_keys(kind: str) -> None:
    """What holds for keys and their cap is said of remotes, fobs and valet keys with the same words."""
    rows = packaged("relations")["relations"]
    assert isinstance(rows, dict)
    for name in ("{}s-within-cap", "free-places-for-{}s", "{}s-add-up"):
        ours, theirs = rows[name.format("key")]["then"], rows[name.format(kind)]["then"]
        turned = [text.replace("keys-", f"{kind}s-").replace("key-cap", f"{kind}-cap") for text in ours]
        assert turned == list(theirs)


def test_a_vehicle_is_of_many_models_only_once() -> None:
    """Claims about every model clash once, wherever else they meet; with a model's own claim they clash there."""
    desk = Desk()
    desk.say("wide 4", "key-cap", "4", make="", model="")
    desk.say("wide 5", "key-cap", "5", make="", model="", years="2010-2012")
    desk.say("Tarn 6", "key-cap", "6", years="2012")
    desk.say("Skerry", "rearm", "30", model="Skerry")
    found = {frozenset(desk.named(conflict)): desk.bites(conflict) for conflict in desk.conflicts()}
    assert {
        frozenset({("wide 4",), ("wide 5",)}): [{"years": "2010-2012"}],
        frozenset({("wide 4",), ("Tarn 6",)}): [{"years": "2012"}],
        frozenset({("wide 5",), ("Tarn 6",)}): [{"years": "2012"}],
    } == found


def test_a_statement_that_no_vehicle_can_keep() -> None:
    """A single statement that breaks a relation by itself is a smallest conflict of one."""
    laws = (Law("odd", (), Linear(((1, "key-cap"),), 3)),)
    relations = Relations(ATTRIBUTES, {}, {"key-cap": between(1, 16)}, {}, laws, {"odd": "Odd."})
    desk = Desk(relations)
    desk.say("C1", "key-cap", "4")
    assert ("odd",) == desk.behind(only_conflict(desk, "C1"))


def test_laws_that_nobody_keeps_are_refused() -> None:
    """Laws that contradict each other are a fault of theirs, told when they are taken and not as a conflict of claims."""
    laws = [Law("low", (), Linear(((1, "a"),), 3)), Law("high", (), Linear(((-1, "a"),), -4))]
    with pytest.raises(ValueError, match=r"^No vehicle keeps these laws\.$"):
        Consistency(laws, {"a": between(0, 9)}, LIMITS)
    words = [Law("b", (), Literal("b", one_of("x"))), Law("not b", (), Literal("b", one_of("y")))]
    with pytest.raises(ValueError, match=r"^No vehicle keeps these laws\.$"):
        Consistency(words, {"b": one_of("x", "y")}, LIMITS)


# Sums that bounds alone do not decide: x + y = z + w, x - y = 1 and z = w ask for an odd number that is even.
PARITY = (
    Law("even", (), Linear(((1, "x"), (1, "y"), (-1, "z"), (-1, "w")), 0)),
    Law("even", (), Linear(((-1, "x"), (-1, "y"), (1, "z"), (1, "w")), 0)),
    Law("odd", (Literal("on", one_of("true")),), Linear(((1, "x"), (-1, "y")), 1)),
    Law("odd", (Literal("on", one_of("true")),), Linear(((-1, "x"), (1, "y")), -1)),
    Law("same", (Literal("on", one_of("true")),), Linear(((1, "z"), (-1, "w")), 0)),
    Law("same", (Literal("on", one_of("true")),), Linear(((-1, "z"), (1, "w")), 0)),
)
PARITY_DOMAINS = {**{name: between(0, 9) for name in "xyzw"}, "on": one_of("true", "false")}


def test_sums_that_bounds_do_not_decide_are_split() -> None:
    """A clash that only shows when values are tried is found, and named with all relations that it needs."""
    consistency = Consistency(PARITY, PARITY_DOMAINS, LIMITS)
    said = [("on", one_of("true"))]
    assert not consistency.holds(said)
    assert consistency.holds([("on", one_of("false")), ("x", between(3, 3))])
    assert ("even", "odd", "same") == consistency.relations_behind(said)


def test_relations_are_named_although_one_is_not_decided() -> None:
    """A relation that alone is not decided within the limit keeps no other from being named."""
    hard = [law._replace(relation="hard") for law in PARITY]
    easy = Law("easy", (Literal("on", one_of("true")),), Linear(((1, "x"),), -1))
    consistency = Consistency((*hard, easy), PARITY_DOMAINS, Limits(splits=3))
    assert ("easy",) == consistency.relations_behind([("on", one_of("true"))])


def parity_desk(limits: Limits) -> tuple[Reconciler, list[Claim]]:
    """Give claims about sums that bounds do not decide, and who reconciles them under some limits."""
    desk = Desk()
    claims = [
        Claim(Statement("on", one_of("true")), desk.say("C1", "key-cap", "4").application, 0, "true"),
        Claim(Statement("x", between(0, 8)), desk.say("C2", "key-cap", "4").application, 0, "0-8"),
    ]
    return Reconciler(Relations({}, {}, PARITY_DOMAINS, {}, PARITY, {}), desk.space, limits), claims


def test_limit_of_splits_is_told() -> None:
    """Where values are tried in vain up to the limit, the attributes and vehicles are told as undecided."""
    decided, claims = parity_desk(LIMITS)
    assert [1] == [len(conflict.statements) for conflict in decided.reconcile(claims).conflicts]
    limited, claims = parity_desk(Limits(splits=3))
    found = limited.reconcile(claims)
    assert () == found.conflicts
    (undecided,) = found.undecided
    assert (("on", "x"), Open("splits", 3)) == (tuple(sorted(undecided.attributes)), undecided.why)
    assert [{"make": "Ostrel", "model": "Tarn"}] == [limited.space.words(each) for each in undecided.boxes]


def test_limits_of_a_model_are_looked_for_by_vehicle() -> None:
    """Where all that is said of a model is too much at once, what is said of each vehicle is looked at; that has a limit too."""
    desk = Desk()
    for number in range(4):
        desk.say(f"C{number}", "key-cap", str(4 + number), years=str(2010 + number))
    desk.say("all", "key-cap", "1")
    expected = desk.conflicts()
    assert 4 == len(expected)
    by_vehicle = reconcile(desk.claims, desk.relations, desk.space, Limits(nodes=3))
    assert (expected, ()) == (by_vehicle.conflicts, by_vehicle.undecided)
    limited = reconcile(desk.claims, desk.relations, desk.space, Limits(nodes=3, meetings=3))
    assert [Open("meetings", 3)] == [each.why for each in limited.undecided]
    assert set(limited.conflicts) <= set(expected)


def test_conflicts_are_grouped_and_mended_together() -> None:
    """Conflicts with a claim in common are mended together: one value against two others is given up alone."""
    desk = Desk()
    desk.say("C1", "key-cap", "4", years="2010")
    desk.say("C2", "key-cap", "5", years="2010-2011")
    desk.say("C3", "key-cap", "6", years="2011")
    desk.say("C4", "rearm", "30")
    desk.say("C5", "rearm", "45")
    groups = clusters(desk.conflicts())
    assert [2, 1] == [len(group) for group in groups]
    mends = repairs(groups[0], {}).sets
    assert {1, 2} == {len(mend) for mend in mends}
    assert (desk.claims[1].statement,) in mends
    limited = repairs(groups[0], {}, Limits(nodes=1))
    assert ((), Open("nodes", 1)) == (limited.sets, limited.open)


def test_clusters_join_when_a_third_touches_both() -> None:
    """Two groups become one by a conflict that has a claim in common with each."""
    desk = Desk()
    one = desk.say("C1", "key-cap", "4")
    other = desk.say("C2", "key-cap", "5")
    box = (desk.space.everything,)
    apart = [Conflict((claim.statement,), ((claim,),), box) for claim in (one, other)]
    both = Conflict((one.statement, other.statement), ((one,), (other,)), box)
    assert 2 == len(clusters(apart))
    assert ((*apart, both),) == clusters([*apart, both])


REGISTER = {
    "video": Source("video", 5, "2019-03-01"),
    "hand-out": Source("hand-out", 5, "2020-01-01", copied_from=("video",)),
    "sheet": Source("sheet", 5, "2021-01-01", copied_from=("lost tape",)),
    "notes": Source("notes", 5, "2021-02-01", copied_from=("lost tape", "video")),
    "echo": Source("echo", 5, "2021-03-01", copied_from=("hand-out", "video")),
    "log-1": Source("log-1", 3, "2022-01-01", observed=True, observers=("m-01", "m-02")),
    "log-2": Source("log-2", 3, "2023-01-01", observed=True, observers=("m-02",)),
    "log-3": Source("log-3", 3, "2023-01-01", observed=True, observers=("m-03",)),
}


@pytest.mark.parametrize(
    ("ids", "expected"),
    [
        (["video", "hand-out", "video"], [("video", "hand-out")]),
        (["echo", "video"], [("echo", "video")]),
        (["hand-out", "log-1"], [("hand-out",), ("log-1",)]),
        (["video", "sheet"], [("video",), ("sheet",)]),
        (["video", "sheet", "notes"], [("video", "sheet", "notes")]),
        (["log-1", "log-3", "log-2"], [("log-1", "log-2"), ("log-3",)]),
        (["nobody knows it"], [("nobody knows it",)]),
        ([], []),
    ],
)
def test_copies_are_one_voice(ids: list[str], expected: list[tuple[str, ...]]) -> None:
    """Sources of which one was copied from the other, or both from a third, are one voice; so are two of one observer."""
    assert tuple(expected) == voices(ids, REGISTER)


def test_standing_counts_what_was_seen_first() -> None:
    """An observation stands better than a nearer source that only states; then rank, voices and date count."""
    desk = Desk()
    seen = standing([desk.say("a", "key-cap", "4", source="log-1")], REGISTER)
    book = {**REGISTER, "book": Source("book", 1, "2024-01-01")}
    stated = standing([desk.say("b", "key-cap", "5", source="book")], book)
    unknown = standing([desk.say("c", "key-cap", "6", source="nobody")], REGISTER)
    assert unknown < stated < seen


def test_scope_and_age_of_a_source() -> None:
    """What a claim says beyond what its source covers is told, and that the source is older than the vehicle."""
    desk = Desk()
    covered = desk.space.box({"make": "Ostrel", "model": "Tarn", "years": "2012-2014", "markets": "region-1"})
    assert not isinstance(covered, Unfit)
    register = {"note": Source("note", 4, "2011-06-01", covers=(covered,)), "all": Source("all", 4, "2010-12-31")}
    beyond = desk.say("a", "key-cap", "4", source="note", years="2012-2016", markets="region-1")
    within = desk.say("b", "key-cap", "4", source="note", years="2013", markets="region-1")
    silent = desk.say("c", "key-cap", "4", source="all", years="2012")
    unknown = desk.say("d", "key-cap", "4", source="nobody", years="2012")
    assert ["2015-2016"] == [desk.space.words(each)["years"] for each in out_of_scope(beyond, register)]
    assert [(), (), ()] == [out_of_scope(claim, register) for claim in (within, silent, unknown)]
    assert [False, True, True, False] == [is_older(claim, register, desk.space) for claim in (beyond, within, silent, unknown)]


def test_a_claim_knows_where_it_stands() -> None:
    """A claim of a procedure stands at a place of its own, and names its source and vehicles."""
    desk = Desk()
    claim = desk.say("C1", "key-cap", "4", source="some-procedure")
    assert ("some-procedure", Place.of_file("C1.yaml"), claim.application.box) == (claim.source, claim.at, claim.box)
