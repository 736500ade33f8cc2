"""Longest sums and joined networks over courses, against sums by hand."""

import pytest

from proclint.analysis.time.joined import joined
from proclint.analysis.time.slack import slack
from proclint.analysis.time.stn import Conflict, Holds, Kind, Open, TimeLimits
from proclint.analysis.time.stnu import Network, controllable
from proclint.analysis.time.sums import Clock, Course, Stretch, Sum, course, longest


def clock(way: str, *, least: int | None = None, most: int | None = None, tag: str = "clock") -> Clock:
    """Write a clock as the points at which it starts and stops: `a b>e`."""
    starts, stops = way.split(">")
    return Clock(frozenset(starts.split()), frozenset(stops.split()), least, most, tag)


def stretch(way: str, least: int, most: int | None = None) -> Stretch:
    """Write a stretch as `a>b`; with a most, others decide. It has itself as its tag."""
    start, end = way.split(">")
    return Stretch(start, end, least, most, most is not None, way)


def names(found: Sum | None) -> tuple[int, str]:
    """Give a sum and the points of its way."""
    assert found is not None
    return found.ms, "".join(str(point) for point in (found.way[0].start, *(each.end for each in found.way)))


# Key on and off by hand, a chime after 1 to 4 s, then either straight to the press or by way of the door.
BRANCHES = (
    stretch("a>b", 2_000),
    stretch("b>c", 1_000, 4_000),
    stretch("c>d", 500),
    stretch("c>e", 1_500),
    stretch("d>e", 2_000),
    stretch("e>f", 1_000),
)


@pytest.mark.parametrize(
    ("way", "expected"),
    [
        # 2 + 4 + 0.5 + 2 by the door, as 1.5 straight on is shorter.
        ("a>e", (8_500, "abcde")),
        # The last start that comes before makes no difference to the first.
        ("a c>e", (8_500, "abcde")),
        # The next stop ends it.
        ("a>c e", (6_000, "abc")),
        ("b>d", (4_500, "bcd")),
        # Stopped at `c` and started anew: the longer of 2 + 4 and 0.5 + 2 + 1.
        ("a c>c f", (6_000, "abc")),
        ("e>f", (1_000, "ef")),
    ],
)
def test_longest(way: str, expected: tuple[int, str]) -> None:
    """The longest way counts the quickest hand and the slowest vehicle, from a start to the next stop."""
    assert expected == names(longest(course(BRANCHES), clock(way)))
    assert expected == names(longest(course(reversed(BRANCHES)), clock(way)))


@pytest.mark.parametrize("way", ["f>a", "d>c", "z>e", "a>z"])
def test_clock_that_never_stops(way: str) -> None:
    """Where no way leads from a start to a stop there is no sum."""
    assert longest(course(BRANCHES), clock(way)) is None


def test_longer_of_two_that_part_and_meet() -> None:
    """Of several stretches between the same points the longest counts, wherever it stands, and the first of equals."""
    over = course((stretch("a>b", 3), stretch("a>b", 5), Stretch("a", "b", 5, tag="equal"), stretch("a>b", 4), stretch("b>c", 1)))
    assert Sum(6, (stretch("a>b", 5), stretch("b>c", 1))) == longest(over, clock("a>c"))
    assert Sum(5, (stretch("a>b", 5),)) == longest(over, clock("a>b"))


def test_loops_are_refused() -> None:
    """A loop has no longest way; its rounds need points of their own."""
    with pytest.raises(ValueError, match="form a loop"):
        course((*BRANCHES, stretch("f>b", 0)))


@pytest.mark.parametrize(
    ("least", "most", "is_given", "message"),
    [(-1, None, False, "is none"), (3, 2, False, "is none"), (3, 2, True, "is none"), (3, None, True, "by which it is over")],
)
def test_no_stretch(least: int, most: int | None, message: str, *, is_given: bool) -> None:
    """What takes less than no time, or for ever without anybody choosing so, is no stretch."""
    with pytest.raises(ValueError, match=message):
        Stretch("a", "b", least, most, is_given)


def test_hold_within_bounds() -> None:
    """What a person holds for no longer than so long counts with its least, as one can let go then."""
    assert Sum(3_000, (Stretch("a", "b", 3_000, 5_000),)) == longest(course([Stretch("a", "b", 3_000, 5_000)]), clock("a>b"))


def nested(*, outer: int, inner: int) -> Course:
    """Three windows in each other: key cycles at 1 s each by hand, a lamp that comes after 2 to 3 s, a press and a hold.

    The outermost runs over all, the middle one from the lamp, the innermost from the first press to the end of the hold, which
    must last 4 s at least.
    """
    stretches = (
        stretch("k0>k1", 1_000),
        stretch("k1>k2", 1_000),
        stretch("k2>lamp", 2_000, 3_000),
        stretch("lamp>press", 1_000),
        stretch("press>held", 500),
        stretch("held>end", 1_000),
    )
    clocks = (
        clock("k0>end", most=outer, tag="outer"),
        clock("lamp>end", most=8_000, tag="middle"),
        clock("press>held", least=4_000, most=inner, tag="inner"),
    )
    return course(stretches, clocks)


def network_of(over: Course) -> Network:
    """Join a course that is not too large."""
    network = joined(over)
    assert isinstance(network, Network)
    return network


def test_nested_windows() -> None:
    """Slack of three nested windows is what is left by hand calculation."""
    network = network_of(nested(outer=15_000, inner=5_000))
    assert controllable(network) == Holds()
    # 1 + 1 + 3 + 1 + 4 + 1 = 11 of 15; from the lamp 1 + 4 + 1 = 6 of 8; 4 of 5 for the hold.
    assert [4_000, 2_000, 1_000] == [slack(network, tag) for tag in ("outer", "middle", "inner")]


def test_window_that_only_the_wait_breaks() -> None:
    """Sums alone fit a window that a wait inside it overruns; the network says by what and by how much."""
    over = nested(outer=10_000, inner=5_000)
    assert (7_500, "k0k1k2lamppressheldend") == names(longest(over, over.clocks[0]))
    found = controllable(network_of(over))
    assert isinstance(found, Conflict)
    assert 1_000 == found.short
    assert {"outer", "k0>k1", "k1>k2", "k2>lamp", "lamp>press", "inner", "held>end"} == set(found.tags)
    # The lamp is feared to come after 3 s.
    (lamp,) = [leg for leg in found.cycle if leg.tag == "k2>lamp"]
    assert (-3_000, Kind.AS_LONG_AS) == (lamp.by, lamp.kind)


def test_branches_that_only_together_cannot_be_kept() -> None:
    """Each side of a branch can be kept by a plan of its own, but the plan is made before the side is seen."""
    shared = stretch("a>b", 1)
    quick, slow = (shared, Stretch("b", "quick", 0, 0)), (shared, Stretch("b", "slow", 0, 0))
    early, late = clock("a>quick", most=5, tag="early"), clock("a>slow", least=9, tag="late")
    assert controllable(network_of(course(quick, [early]))) == Holds()
    assert controllable(network_of(course(slow, [late]))) == Holds()
    found = controllable(network_of(course((*quick, slow[1]), [early, late])))
    assert isinstance(found, Conflict)
    assert {"early", "late"} == set(found.tags)
    assert 4 == found.short


def test_what_is_shared_stands_once() -> None:
    """What comes after a branch is laid once for each side, what comes before it once."""
    network = network_of(course(BRANCHES, [clock("a>f", most=99)]))
    names = sorted(str(point)[2] for point in network.points)
    assert list("abcdeeff") == names


def test_ways_begin_anew_where_no_clock_runs() -> None:
    """Twelve branches one after the other outside all clocks, or each inside its own, do not multiply."""
    diamonds = []
    for at in range(12):
        diamonds += [stretch(f"{at}>{at}a", 1), stretch(f"{at}>{at}b", 2)]
        diamonds += [stretch(f"{at}a>{at + 1}", 1), stretch(f"{at}b>{at + 1}", 1)]
    assert () == network_of(course(diamonds)).points
    assert 2 == len(network_of(course((*diamonds, stretch("12>end", 1)), [clock("12>end", most=3)])).points)
    own = [clock(f"{at}>{at + 1}", most=3, tag=f"{at}") for at in range(12)]
    network = network_of(course(diamonds, own))
    assert 12 * 5 == len(network.points)
    assert controllable(network) == Holds()
    over_all = joined(course(diamonds, [clock("0>12", most=36)]))
    assert over_all == Open("points", 2_000)
    assert isinstance(joined(course(diamonds, [clock("0>12", most=36)]), limits=TimeLimits(points=20_000)), Network)


def test_clock_that_is_left_running() -> None:
    """Nothing is asked of a clock where the ways end before it stops."""
    network = network_of(course((stretch("a>b", 9), stretch("a>c", 9)), [clock("a>c", most=10)]))
    assert ["clock", "a>b", "a>c"] == sorted((str(bound.tag) for bound in network.bounds), key=len, reverse=True)
    assert controllable(network) == Holds()
