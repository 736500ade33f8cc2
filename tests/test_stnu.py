"""Networks with uncertainty get the verdicts that were published for them, and conflicts told as they were written.

Edges are written `B 6 C`: C comes at most 6 after B. Spans are written `A 1 3 C`: C comes 1 to 3 after A, as others decide. All
verdicts are for instantaneous reaction.
"""

from itertools import pairwise

import pytest

from proclint.analysis.time.slack import slack
from proclint.analysis.time.stn import Bound, Conflict, Holds, Kind, Leg, Open, TimeLimits, consistent, total
from proclint.analysis.time.stnu import Network, Span, controllable


def network(edges: str, spans: str) -> Network:
    """Read a network; each edge and each span has itself as its tag."""
    bounds = [(edge, *edge.split()) for edge in edges.split(", ")] if edges else []
    parts = [(span, *span.split()) for span in spans.split(", ")]
    return Network(
        tuple(Bound(source, target, most=int(by), tag=tag) for tag, source, by, target in bounds),
        tuple(Span(start, end, int(least), int(most), tag) for tag, start, least, most, end in parts),
    )


def plain(uncertain: Network) -> tuple[Bound, ...]:
    """Give the bounds if all time were ours to choose."""
    return (*uncertain.bounds, *(span.bound() for span in uncertain.spans))


# Files of the repository amyoconnell/cs382_spring2020, with their verdicts in test_output/output.txt.
DC_2 = "X 12 C0, C1 11 C0, C0 -7 X, C0 -1 C1", "A0 1 3 C0, A1 1 10 C1"
MAGIC_LOOP_2 = "X 12 C1, C2 8 C1, C1 -7 X, C1 -1 C2", "A1 1 3 C1, A2 1 10 C2"
DC_3 = "X 48 C0, C2 37 C0, C1 8 C0, C0 -29 X, C0 -7 C2, C0 -1 C1", "A0 1 3 C0, A1 1 10 C1, A2 1 36 C2"
MAGIC_LOOP_3 = DC_3[0].replace("C2 37 C0", "C2 34 C0"), DC_3[1]
DC_5 = (
    "10 650 1, 9 468 1, 7 128 1, 5 34 1, 3 8 1, 1 -399 10, 1 -109 9, 1 -29 7, 1 -7 5, 1 -1 3",
    "0 1 3 1, 2 1 10 3, 4 1 36 5, 6 1 130 7, 8 1 470 9",
)
MAGIC_LOOP_5 = DC_5[0].replace("10 650 1", "10 648 1"), DC_5[1]
# P. Morris, "A structural characterization of temporal dynamic controllability" (CP 2006), read in the files of two repositories.
MORRIS = "B 1 D, D 3 B, B -2 E, E 4 B", "A 0 2 B, C 0 3 D"
# L. Hunsberger's slides, page 118, and a figure 7a of 2023, both read in test files.
SLIDE_118 = "B 5 C", "A 2 9 C"
FIGURE_7A = "X 3 C, X -2 Y, Y 1 C, C -7 W", "A 1 10 C"
# Tests of the planner laas/fape: UncontrollableAction, IDCSuite, DynamicControllability (the last after M. Nilsson, J. Kvarnström
# and P. Doherty, "Incremental dynamic controllability revisited", ICAPS 2013, figure 2).
EVENT_5 = "ev 15 e, e -5 ev", "s 50 60 e"
EVENT_6 = "ev 15 e, e -6 ev", "s 50 60 e"
AFTER_16 = "B 0 A, C 0 A, D 0 A, D 0 C, A 16 D, D -16 A", "B 10 15 C"
AFTER_12 = "B 0 A, C 0 A, D 0 A, D 0 C, A 12 D, D -12 A", "B 10 15 C"
INCREMENTAL = "A 10 B, B -5 A, B 10 C, C -5 B, C 10 D, D -5 C, E 7 A, A -5 E", "A 5 50 U"
INCREMENTAL_15 = INCREMENTAL[0] + ", U -15 D", INCREMENTAL[1]
# P. Morris, CP 2006, the slide on tightening waits, read in a copy.
WAIT = "C 2 B, B 2 C", "A 0 4 B"
# Worked out twice by other methods: a window narrower than the span that it must absorb cannot be kept.
ABSORBS = "e1 5 e2, e2 -2 e1", "e3 4 7 e2"
TOO_NARROW = "e1 5 e2, e2 -3 e1", "e3 4 7 e2"

CONTROLLABLE = {
    "dc-2": DC_2,
    "dc-3": DC_3,
    "dc-5": DC_5,
    "slide 118": SLIDE_118,
    "figure 7a": FIGURE_7A,
    "event 5": EVENT_5,
    "after 16": AFTER_16,
    "incremental": INCREMENTAL,
    "wait": WAIT,
    "absorbs": ABSORBS,
}
NOT_CONTROLLABLE = {
    "magic-loop-2": MAGIC_LOOP_2,
    "magic-loop-3": MAGIC_LOOP_3,
    "magic-loop-5": MAGIC_LOOP_5,
    "Morris": MORRIS,
    "event 6": EVENT_6,
    "after 12": AFTER_12,
    "incremental 15": INCREMENTAL_15,
    "too narrow": TOO_NARROW,
}


@pytest.mark.parametrize("written", CONTROLLABLE.values(), ids=CONTROLLABLE)
def test_controllable(written: tuple[str, str]) -> None:
    """A published network that is dynamically controllable is found to be."""
    assert controllable(network(*written)) == Holds()


@pytest.mark.parametrize("written", NOT_CONTROLLABLE.values(), ids=NOT_CONTROLLABLE)
def test_not_controllable(written: tuple[str, str]) -> None:
    """A published network that is not controllable is told by a smallest conflict, though it would be consistent."""
    given = network(*written)
    found = controllable(given)
    assert consistent(plain(given)) == Holds()
    assert isinstance(found, Conflict)
    assert found.is_smallest
    assert -found.short == total(found.cycle) < 0
    assert isinstance(controllable(given.only(frozenset(found.tags))), Conflict)
    for tag in found.tags:
        assert controllable(given.only(frozenset(found.tags) - {tag})) == Holds()


@pytest.mark.parametrize("written", [*CONTROLLABLE.values(), *NOT_CONTROLLABLE.values()], ids=[*CONTROLLABLE, *NOT_CONTROLLABLE])
def test_sides_join(written: tuple[str, str]) -> None:
    """Each leg of a conflict is a side of what was written."""
    given = network(*written)
    found = controllable(given)
    sides = {(leg.source, leg.target, leg.by, leg.tag) for bound in plain(given) for leg in bound.legs()}
    # A span can be used as if it were as short as can be, or as long as can be, at its worst moment.
    sides |= {(span.start, span.end, span.least, span.tag) for span in given.spans}
    sides |= {(span.end, span.start, -span.most, span.tag) for span in given.spans}
    cycle = found.cycle if isinstance(found, Conflict) else ()
    assert {(leg.source, leg.target, leg.by, leg.tag) for leg in cycle} <= sides
    assert (written in NOT_CONTROLLABLE.values()) == bool(cycle)


@pytest.mark.parametrize(
    ("edge", "written", "verdicts"),
    [
        ("C2 8 C1", MAGIC_LOOP_2, {8: False, 9: True, 10: True, 11: True, 12: True}),
        ("C2 34 C0", MAGIC_LOOP_3, {32: False, 33: False, 34: False, 35: True, 36: True, 37: True}),
    ],
    ids=["magic-loop-2", "magic-loop-3"],
)
def test_boundary(edge: str, written: tuple[str, str], verdicts: dict[int, bool]) -> None:
    """The verdict turns at the value that was worked out by other methods, and slack says how far away that is."""
    first = next(by for by, holds in verdicts.items() if holds)
    for by, holds in verdicts.items():
        changed = edge.replace(edge.split()[1], str(by))
        given = network(written[0].replace(edge, changed), written[1])
        assert holds == isinstance(controllable(given), Holds)
        assert by - first == slack(given, changed)


def cooking(apart: int, *, start: tuple[int | None, int | None] = (None, None), upstream: bool = False) -> Network:
    """Cooking dinner: driving takes 35 to 40 and cooking 25 to 30, and both are to be over at most `apart` from each other.

    A published test of the planner laas/fape, DynamicControllability.
    """
    bounds = Bound("WH", "DR", -apart, apart, "together"), Bound("SD", "SC", *start, "start")
    spans = (Span("SD", "WH", 35, 40, "driving"), Span("SC", "DR", 25, 30, "cooking"))
    return Network(bounds, (*spans, Span("WS", "SD", 30, 60, "shop")) if upstream else spans)


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (cooking(5), True),
        (cooking(4), False),
        (cooking(5, upstream=True), True),
        (cooking(5, start=(10, 10)), True),
        (cooking(5, start=(9, 9)), False),
        (cooking(5, start=(11, 11)), False),
    ],
    ids=["5", "4", "upstream", "start at 10", "start at 9", "start at 11"],
)
def test_cooking_dinner(given: Network, *, expected: bool) -> None:
    """Cooking has to start exactly 10 after driving did, as published."""
    assert expected == isinstance(controllable(given), Holds)


def test_conflict_in_words() -> None:
    """The legs of a conflict say of a span whether it is feared short or long, and join end to end."""
    # Press 0.5 to 3 s before the lamp, which comes 4 to 9 s after the key is on.
    given = Network(
        (Bound("press", "lamp", 500, 3_000, "window"), Bound("on", "press", least=1_000, tag="hand")),
        (Span("on", "lamp", 4_000, 9_000, "wait"),),
    )
    found = controllable(given)
    assert isinstance(found, Conflict)
    # One has to press by 3.5 s, not knowing more, and if the lamp comes after 9 s that was 2.5 s too early.
    assert 2_500 == found.short
    expected = {
        Leg("lamp", "on", -9_000, Kind.AS_LONG_AS, "wait"),
        Leg("on", "lamp", 4_000, Kind.AS_SHORT_AS, "wait"),
        Leg("lamp", "press", -500, Kind.AT_LEAST, "window"),
        Leg("press", "lamp", 3_000, Kind.AT_MOST, "window"),
    }
    assert expected == set(found.cycle)
    assert all(leg.target == after.source for leg, after in pairwise((*found.cycle, found.cycle[0])))


def test_bounds_passed_again_and_again() -> None:
    """A cycle that passes a span 2^n times is told by what it passes and how often (the magic loops)."""
    found = controllable(network(*MAGIC_LOOP_5))
    assert isinstance(found, Conflict)
    assert len(found.cycle) == 2 * 5 + 2 * 5
    times = {leg.tag: leg.times for leg in found.cycle if leg.kind is Kind.AS_LONG_AS}
    assert {"0 1 3 1": 16, "2 1 10 3": 8, "4 1 36 5": 4, "6 1 130 7": 2, "8 1 470 9": 1} == times


def test_rigid_span() -> None:
    """A span of one length is a bound like any other."""
    given = Network(
        (Bound("a", "c", most=9, tag="window"), Bound("b", "c", least=5, tag="hand")), (Span("a", "b", 5, 5, "relay"),)
    )
    found = controllable(given)
    assert isinstance(found, Conflict)
    assert {"window", "hand", "relay"} == set(found.tags)
    assert 1 == found.short


@pytest.mark.parametrize(("least", "most"), [(-1, 3), (4, 3)])
def test_no_span(least: int, most: int) -> None:
    """Time does not run backwards, and the shortest is not above the longest."""
    with pytest.raises(ValueError, match="is none"):
        Span("a", "b", least, most)


def test_two_spans_to_one_point() -> None:
    """Two spans cannot both decide when a point comes."""
    with pytest.raises(ValueError, match="Two spans end at one point"):
        network("", "A 1 2 C, B 1 2 C")


def test_limit_of_points() -> None:
    """A network of more points than the limit is left open, and so is its slack."""
    given, few = network(*DC_2), TimeLimits(points=4)
    assert controllable(given, limits=few) == Open("points", 4)
    assert slack(given, "X 12 C0", limits=few) == Open("points", 4)
    assert controllable(given, limits=TimeLimits(points=5)) == Holds()


def test_limit_of_edges() -> None:
    """With ever more work allowed the answer is first open, then a conflict that may be told shorter, then the smallest."""
    given = network(*MAGIC_LOOP_3)
    answers: list[object] = []
    for allowed in range(1, 4_000, 20):
        found = controllable(given, limits=TimeLimits(edges=allowed))
        assert not isinstance(found, Open) or found == Open("edges", allowed)
        answers.append(found.is_smallest if isinstance(found, Conflict) else type(found))
    assert [Open, False, True] == list(dict.fromkeys(answers))


def test_limit_counts_what_is_made() -> None:
    """Edges that the search makes count as much as those it looks at, as they take up memory."""
    windows = tuple(Bound(at, "end", most=10, tag=at) for at in range(100))
    given = Network((*windows, Bound("start", "end", least=3, tag="hand")))
    # A hundred windows are looked at, and from each of their starts an edge to `start` is made.
    assert controllable(given, limits=TimeLimits(edges=199)) == Open("edges", 199)
    assert controllable(given, limits=TimeLimits(edges=200)) == Holds()


def test_limit_of_slack() -> None:
    """With ever more work allowed slack is first open and then what it is."""
    given = network(*MAGIC_LOOP_3)
    answers = [slack(given, "C2 34 C0", limits=TimeLimits(edges=allowed)) for allowed in range(1, 600, 10)]
    assert [-1] == list(dict.fromkeys(each for each in answers if not isinstance(each, Open)))
    assert isinstance(answers[0], Open)
    assert -1 == answers[-1]


def test_slack_that_a_conflict_overstates() -> None:
    """Where raising a bound changes what there is to fear, slack is still the last number that holds."""
    # Press 1 before the lamp at least and at most: not to be foreseen. At the same time as the lamp is easy.
    given = Network(
        (Bound("lamp", "press", most=-1, tag="before"), Bound("press", "lamp", most=1, tag="soon")),
        (Span("on", "lamp", 2, 4, "wait"),),
    )
    assert -1 == slack(given, "before")


@pytest.mark.parametrize(("most", "expected"), [(20, 8), (12, 0), (7, -5)])
def test_slack_of_a_window(most: int, expected: int) -> None:
    """What is left of a window is its width less the quickest hand and the slowest vehicle."""
    given = Network(
        (Bound("start", "end", most=most, tag="window"), Bound("start", "on", least=3, tag="hand")),
        (Span("on", "end", 4, 9, "wait"),),
    )
    assert expected == slack(given, "window")


def test_slack_ends_at_no_time_at_all() -> None:
    """Where nothing takes any time a window can be lowered to nothing, and no further."""
    assert 7 == slack(Network((Bound("a", "b", 0, 7, "window"),)), "window")


def test_slack_that_no_raising_gives() -> None:
    """Where the rest cannot be kept by itself, that is the answer."""
    rest = network(*EVENT_6)
    found = slack(Network((*rest.bounds, Bound("s", "ev", most=99, tag="window")), rest.spans), "window")
    assert found == controllable(rest)


def test_slack_of_what_has_no_most() -> None:
    """Only what is bounded from above has slack."""
    with pytest.raises(ValueError, match="'hand' is bounded from above"):
        slack(Network((Bound("a", "b", least=3, tag="hand"),)), "hand")
