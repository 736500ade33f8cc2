"""Simple temporal networks agree with published examples, and what cannot be kept is told by a cycle that shows it.

Edges are written `B 6 C`: C comes at most 6 after B. What only a copy of its source was read for says so.
"""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proclint.analysis.time.stn import (
    Bound,
    Conflict,
    Holds,
    Kind,
    Leg,
    Open,
    TimeLimits,
    consistent,
    farthest,
    total,
)


def edges(text: str) -> tuple[Bound, ...]:
    """Read edges; each has itself as its tag."""
    parts = [edge.split() for edge in text.split(", ")]
    return tuple(Bound(source, target, most=int(by), tag=f"{source} {by} {target}") for source, by, target in parts)


def table(bounds: tuple[Bound, ...], points: str) -> list[list[int]]:
    """Give how long after each point each point comes at most."""
    return [[farthest(bounds, source)[target] for target in points.split()] for source in points.split()]


# R. Dechter, I. Meiri and J. Pearl, "Temporal constraint networks", Artificial Intelligence 49 (1991): the two commuters.
# The text was read in a copy; the tables are from memory, and worked out again. Minutes after seven.
CAR, BUS = Bound("X1", "X2", 30, 40, "car"), Bound("X1", "X2", 60, None, "bus")
FREDS_CAR, CARPOOL = Bound("X3", "X4", 20, 30, "Fred's car"), Bound("X3", "X4", 40, 50, "carpool")


def commuters(john: Bound, fred: Bound) -> tuple[Bound, ...]:
    """John leaves at X1 and arrives at X2, Fred leaves at X3 and arrives at X4."""
    today = Bound("X0", "X1", 10, 20, "John left"), Bound("X0", "X4", 60, 70, "Fred arrived")
    return (*today, Bound("X3", "X2", 10, 20, "John arrived after Fred left"), john, fred)


def test_commuters() -> None:
    """The table of the two commuters is that of the paper."""
    expected = [
        [0, 20, 50, 30, 70],
        [-10, 0, 40, 20, 60],
        [-40, -30, 0, -10, 30],
        [-20, -10, 20, 0, 50],
        [-60, -50, -20, -40, 0],
    ]
    assert expected == table(commuters(CAR, CARPOOL), "X0 X1 X2 X3 X4")


def windows(bounds: tuple[Bound, ...]) -> dict[str, tuple[int, int]]:
    """Give between which times after X0 each point comes."""
    return {point: (-farthest(bounds, point)["X0"], farthest(bounds, "X0")[point]) for point in ("X1", "X2", "X3", "X4")}


@pytest.mark.parametrize(
    ("john", "fred", "expected"),
    [
        (CAR, CARPOOL, {"X1": (10, 20), "X2": (40, 50), "X3": (20, 30), "X4": (60, 70)}),
        (CAR, FREDS_CAR, {"X1": (10, 20), "X2": (40, 60), "X3": (30, 50), "X4": (60, 70)}),
        (BUS, FREDS_CAR, {"X1": (10, 10), "X2": (70, 70), "X3": (50, 50), "X4": (70, 70)}),
    ],
    ids=["car and carpool", "two cars", "bus and car"],
)
def test_commuters_by_other_means(john: Bound, fred: Bound, expected: dict[str, tuple[int, int]]) -> None:
    """The least and most of each time are those that follow from the paper's text (worked out from it twice)."""
    assert expected == windows(commuters(john, fred))


def test_commuters_that_cannot_be() -> None:
    """By bus and carpool John would arrive ten minutes too late, and everything that was said is needed to see it."""
    found = consistent(commuters(BUS, CARPOOL))
    # Leaves at 10, by bus 70; Fred left by 70 - 40 = 30, so John arrived by 50: 20 short.
    assert isinstance(found, Conflict)
    assert {"John left", "bus", "John arrived after Fred left", "carpool", "Fred arrived"} == set(found.tags)
    assert (20, True) == (found.short, found.is_smallest)


# L. Hunsberger's course material on temporal networks, files dc-original.stn and dc-APSP.stn, dc-hunsberger-0.stn and
# sample.stn of the repository sudaismoorad/temporal-networks.
FOUR = edges("B -5 Z, B 6 C, C 3 B, C -2 Z, D -4 B, D -2 C, Z 30 D")
NINE = edges(
    "A 3 B, B -2 C, C -1 A, D 12 E, E -10 F, F -2 D, B 29 E, D 12 B, D 3 G, D 4 I, F 69 A, G 6 A, H 7 F, I 8 C",
)
FIVE = edges("Z 13 B, B 4 C, C 5 B, C 8 Z, E 4 Z, E 13 D, D 10 E, C 2 D")


def test_four_points() -> None:
    """The distances between all points are those of the stored solution."""
    expected = [[0, 26, 28, 30], [-5, 0, 6, 25], [-2, 3, 0, 28], [-9, -4, -2, 0]]
    assert expected == table(FOUR, "Z B C D")


@pytest.mark.parametrize(
    ("bounds", "point", "expected"),
    [
        (NINE, "D", {"D": 0, "A": 9, "B": 12, "C": 10, "E": 12, "F": 2, "G": 3, "I": 4}),
        (FIVE, "Z", {"Z": 0, "B": 13, "C": 17, "D": 19, "E": 29}),
        (FIVE, "E", {"E": 0, "Z": 4, "B": 17, "C": 21, "D": 13}),
    ],
    ids=["nine from D", "five from Z", "five from E"],
)
def test_rows(bounds: tuple[Bound, ...], point: str, expected: dict[str, int]) -> None:
    """Distances from one point are those of the stored solution, and what nothing bounds is left out."""
    assert isinstance(consistent(bounds), Holds)
    assert expected == farthest(bounds, point)


@pytest.mark.parametrize("tightened", range(6))
def test_zero_cycles_can_be_kept_and_no_less(tightened: int) -> None:
    """A cycle of zero can be kept; with any of its edges tighter by one it cannot, and that cycle is the conflict."""
    bound = NINE[tightened]
    assert bound.most is not None
    tighter = Bound(bound.start, bound.end, most=bound.most - 1, tag=bound.tag)
    found = consistent((*NINE[:tightened], tighter, *NINE[tightened + 1 :]))
    assert isinstance(found, Conflict)
    assert 1 == found.short
    assert {each.tag for each in (NINE[:3] if tightened < 3 else NINE[3:6])} == set(found.tags)


def test_no_distances_where_no_times_are() -> None:
    """What cannot be kept has no distances, and asking for them is refused."""
    with pytest.raises(ValueError, match="These bounds cannot all be kept"):
        farthest(edges("A 3 B, B -4 A"), "A")


def test_inverted_bound() -> None:
    """At least more than at most is a conflict of one tag, told by both its sides."""
    found = consistent([Bound("on", "off", 5_000, 3_000, "hold")])
    at_most = Leg("on", "off", 3_000, Kind.AT_MOST, "hold")
    at_least = Leg("off", "on", -5_000, Kind.AT_LEAST, "hold")
    assert isinstance(found, Conflict)
    assert {at_most, at_least} == set(found.cycle)
    assert (("hold",), 2_000) == (found.tags, found.short)


def test_point_before_itself() -> None:
    """No point comes before itself."""
    found = consistent([Bound("on", "on", most=-1, tag="odd"), Bound("on", "on", most=0, tag="even")])
    assert found == Conflict((Leg("on", "on", -1, Kind.AT_MOST, "odd"),), is_smallest=True)


def test_bounds_without_a_tag() -> None:
    """What has no tag is always kept and never named."""
    found = consistent([Bound("a", "b", least=4), Bound("b", "c", least=2, tag="wait"), Bound("a", "c", most=5, tag="window")])
    assert isinstance(found, Conflict)
    assert {"wait", "window"} == set(found.tags)
    assert 3 == len(found.cycle)
    assert 1 == found.short


def test_one_tag_for_several_bounds() -> None:
    """Bounds of one tag are left out together, so that it is named with what one of them conflicts with."""
    early = [Bound("a", "b", most=1, tag="window"), Bound("c", "d", most=1, tag="window")]
    found = consistent([*early, Bound("a", "b", least=2, tag="first"), Bound("c", "d", least=2, tag="second")])
    assert isinstance(found, Conflict)
    assert found.is_smallest
    assert "window" in found.tags
    assert 2 == len(found.tags)


def test_smallest_among_many() -> None:
    """Where two windows are too short, one of them is told, with what is in it and nothing else."""
    chain = [Bound(at, at + 1, least=10, tag=("step", at)) for at in range(20)]
    found = consistent([*chain, Bound(0, 20, most=50, tag="all"), Bound(3, 5, most=19, tag="few")])
    assert isinstance(found, Conflict)
    few = {("step", 3), ("step", 4), "few"}
    assert set(found.tags) in (few, {"all", *(each.tag for each in chain)})


def test_limit_of_points() -> None:
    """A network of more points than the limit is left open, and one of as many is not."""
    bounds = edges("A 1 B, B 1 C")
    assert consistent(bounds, limits=TimeLimits(points=2)) == Open("points", 2)
    assert consistent(bounds, limits=TimeLimits(points=3)) == Holds()


def test_limit_of_edges() -> None:
    """With ever more work allowed the answer is first open, then a conflict that may be told shorter, then the smallest."""
    chain = [Bound(at, at + 1, least=10, tag=("step", at)) for at in range(5)]
    bounds = [*chain, Bound(0, 5, most=49, tag="window")]
    answers: list[object] = []
    for allowed in range(1, 400):
        found = consistent(bounds, limits=TimeLimits(edges=allowed))
        assert not isinstance(found, Open) or found == Open("edges", allowed)
        answers.append(found.is_smallest if isinstance(found, Conflict) else type(found))
    assert [Open, False, True] == list(dict.fromkeys(answers))
    assert answers == sorted(answers, key=[Open, False, True].index)


BOUNDS = st.lists(
    st.builds(
        Bound,
        st.integers(0, 5),
        st.integers(0, 5),
        st.none() | st.integers(-9, 9),
        st.none() | st.integers(-9, 9),
        st.none() | st.integers(0, 9),
    ),
    max_size=12,
)


@given(BOUNDS)
def test_conflicts_show_themselves(bounds: list[Bound]) -> None:
    """A conflict's cycle joins end to end, comes out below zero, and each leg of it is a side of a bound as given."""
    # By the theorem of Shostak that Dechter, Meiri and Pearl build on: a network can be kept if and only if no cycle is negative.
    found = consistent(bounds)
    if isinstance(found, Conflict):
        legs = [leg for bound in bounds for leg in bound.legs()]
        assert all(leg in legs for leg in found.cycle)
        assert all(leg.target == after.source for leg, after in pairwise((*found.cycle, found.cycle[0])))
        assert -found.short == total(found.cycle) < 0


@given(BOUNDS, BOUNDS)
def test_more_bounds_mend_nothing(bounds: list[Bound], more: list[Bound]) -> None:
    """What cannot be kept cannot be kept with more bounds either, in whatever order they come."""
    if isinstance(consistent(bounds), Conflict):
        assert isinstance(consistent([*more, *bounds]), Conflict)
