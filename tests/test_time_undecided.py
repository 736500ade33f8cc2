"""What is seldom asked of times: shortest times beside sums, limits, and what has no line; reckoned by hand."""

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.analysis.time import spans
from proclint.analysis.time.bars import bars
from proclint.analysis.time.lengths import HANDS, Hand
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.render.bars import text_of_bars
from proclint.testing import ON, completed

ENDS = """fallbacks:
  again: {tries: 1, do: wait 20 s, ways: {done: a, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
"""


def flow_of(text: str) -> Flow:
    """Read a procedure or block."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert () == found.faults
    assert found.flow is not None
    return found.flow


def study_of(text: str, *blocks: str) -> Study:
    """Read a procedure beside the blocks that it may follow."""
    flows = (flow_of(text), *map(flow_of, blocks))
    return Study(flows[0], Shelf({each.id: each for each in flows if isinstance(each, Block)}, standard()), ON, Limits())


def timed(window: str, *steps: str, more: str = "") -> str:
    """Write a file with the window `w` and some steps, of which the first is called `a`."""
    return f"windows:\n  w: {{{window}, late: again}}\n{more}steps:\n" + "".join(f"  {step}\n" for step in steps) + ENDS


LEARN = "a: {do: [{do: leave O1 on 2-4 s, opens: w at start}, {do: learn O1, by: vehicle, takes: 1-3 s, closes: w}], then: all-right, fails: again}"


@pytest.mark.parametrize(
    ("window", "expected"),
    [
        # To last 5 s for certain the key is left at on for 4 s; the vehicle may then take 3 s more: 7 s are needed.
        ("at-least: 5 s, at-most: 7 s", [0, 0, 0]),
        ("at-least: 5 s, at-most: 9 s", [2_000, 2_000, 2_000]),
        # Nothing can be left of no longest time.
        ("at-least: 5 s", [None, None, None]),
    ],
)
def test_slack_beside_a_shortest_time(window: str, expected: list[int | None]) -> None:
    """Where a window also has a shortest time, slack is what could be taken from its longest with all bounds still kept."""
    (windows,) = study_of(timed(window, LEARN)).times.windows
    (each,) = windows.each
    assert expected == [each.slack(hand) for hand in HANDS]
    assert () == windows.undecided


def test_sums_come_first_beside_a_shortest_time() -> None:
    """What the sums refuse is told by them: 4.5 s are too few for 2 s of leaving it and 3 s of learning."""
    times = study_of(timed("at-least: 1 s, at-most: 4.5 s", LEARN)).times
    assert () == times.clashes
    assert [Hand.QUICKEST] == [window.broken_at for window in times.missed]


def test_too_many_ways_for_a_shortest_time() -> None:
    """Twelve looks with three answers each are more ways than are laid out: that they can be kept is not decided, and said."""
    looks = [f"b{at}: {{do: look hood, ways: {{open: b{at + 1}, closed: b{at + 1}, fails: b{at + 1}}}}}" for at in range(12)]
    steps = ["a: {do: {do: tap tool, opens: w}}", *looks, "b12: {do: {do: tap tool, closes: w}, then: all-right}"]
    times = study_of(timed("at-least: 1 s, at-most: 1 h", *steps)).times
    assert [("w", "points")] == [(region.window.name, limit.limit) for region, limit in times.undecided]
    (bar,) = bars(times)
    assert (None, None, None) == bar.slack


OPEN, CLOSE = "a: {do: {do: tap tool, opens: w}}", "z: {do: {do: tap tool, closes: w}, then: all-right}"


def test_time_written_for_a_whole_step_needs_no_layout() -> None:
    """A step with a time of its own is as long as that says: with 12 s and the tap of 5 s, 17 s are enough and 16 s are not."""
    step = "b: {do: [insert O1, turn O1 on], takes: 10-12 s}"
    assert () == study_of(timed("at-most: 17 s", OPEN, step, CLOSE)).times.doubtful
    assert 1 == len(study_of(timed("at-most: 16 s", OPEN, step, CLOSE)).times.doubtful)


def test_what_has_no_line_is_named_by_its_step() -> None:
    """A question takes the time of an answer, and stands where its step does: 2, 5, 20 s and the tap 1, 2, 5 s."""
    (windows,) = study_of(
        timed("at-most: 6 s", OPEN, "b: {ask: Does it click?, ways: {it-does: z, it-stays-silent: again}}", CLOSE)
    ).times.windows
    (window,) = windows.each
    added = window.sum(Hand.TYPICAL)
    assert added is not None
    assert 7_000 == added.ms
    asked = [piece for piece in windows.layout.pieces if piece.line is None and piece.step is not None]
    assert [("b", "Does it click?")] == [(piece.step.name, piece.step.ask) for piece in asked if piece.step is not None]
    assert [piece.step.at for piece in asked if piece.step is not None] == [piece.at for piece in asked]
    assert [piece.step.words for piece in asked if piece.step is not None] == [piece.words for piece in asked]
    assert {None} == {piece.at for piece in windows.layout.pieces if piece.step is None}
    assert {""} == {piece.words for piece in windows.layout.pieces if piece.step is None}


ENDLESS = "block: turn-round\nexits: [out]\nsteps:\n  a: {do: look hood, ways: {open: a, closed: out, fails: a}}\n"


def test_block_that_no_number_ends() -> None:
    """A window round a block without an end is not decided, and neither is what lies inside it told."""
    inside = "b: {follow: turn-round 1}"
    (windows,) = study_of(timed("at-most: 1 h", OPEN, inside, CLOSE), ENDLESS).times.windows
    assert windows.limit is not None
    assert "rounds that no number ends" == windows.limit.limit
    both = [step.replace("opens: w", "opens: [w, v]").replace("closes: w", "closes: [v, w]") for step in (OPEN, inside, CLOSE)]
    assert () == study_of(timed("at-most: 1 h", *both, more="  v: {at-most: 2 h, late: again}\n"), ENDLESS).times.outlived


def test_block_that_never_ends_before_an_ending() -> None:
    """A block through which no way leads to its exit adds nothing to the way to an ending."""
    text = f"steps: {{a: {{do: [insert O1, turn O1 on], then: all-right}}}}\n{ENDS}".replace(
        "success,", "success, through: turn-round 1,"
    )
    way = next(
        each for each in study_of(text, ENDLESS.replace("closed: out", "closed: a")).times.ways if each.ending == "all-right"
    )
    assert (1_500, 2_500, 5_000) == (way.quickest, way.usual, way.slowest)


def test_limit_of_visits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond the limit of visits the slowest way is not found, and the limit is named."""
    monkeypatch.setattr(spans, "MOST_VISITS", 2)
    text = "windows: {w: 20 s}\n" + timed("at-most: 1 h", OPEN, "b: {do: wait 1 s}", CLOSE).partition("again}\n")[2].replace(
        "windows", ""
    )
    way = next(each for each in study_of(text).times.ways if each.ending == "all-right")
    assert way.limit is not None
    assert (None, "visits of steps", 2) == (way.slowest, way.limit.limit, way.limit.number)


def test_bar_of_more_things_than_letters() -> None:
    """A bar of more things than there are letters shows what each step is in all: 27 waits of 1 s and a little more."""
    waits = ", ".join(f"wait {1000 + at} s" for at in range(27))
    text = timed("at-most: 10 h", OPEN, f"b: {{do: [{waits}]}}", CLOSE)
    lines = text_of_bars(bars(study_of(text).times)).split("\n")
    assert "  a 27 x b: 455.9 min; b z: 2 s" == lines[2]
    assert not any("wait 1000 s" in line for line in lines)
