"""The times of whole procedures: windows laid out, verdicts by hand, slack and bars, against sums made by hand.

How long a hand takes is common practice, no source; units are those of the SI and those beside it (BIPM SI Brochure, table 8: min, h, d).
What is asked of timed and of repeated steps follows DOE-STD-1029-92, known from two of its pages.
"""

from pathlib import Path

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.analysis.time.bars import bars
from proclint.analysis.time.keeping import Windows, WindowTime
from proclint.analysis.time.lengths import HANDS, Hand, Length
from proclint.analysis.time.told import summed
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.render.bars import WIDTH, text_of_bars
from proclint.testing import ON, check, completed

LIBRARY = Path(__file__).parents[1] / "procedures"


def flow_of(text: str) -> Flow:
    """Read a procedure or block, completed where it says too little."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    assert () == found.faults
    return found.flow


def study_of(text: str, *blocks: str) -> Study:
    """Read a procedure or block beside the blocks that it may follow."""
    flows = (flow_of(text), *map(flow_of, blocks))
    return Study(flows[0], Shelf({each.id: each for each in flows if isinstance(each, Block)}, standard()), ON, Limits())


def windows_of(text: str, *blocks: str) -> dict[str, WindowTime]:
    """Give the windows of a file by name."""
    return {each.name: each for windows in study_of(text, *blocks).times.windows for each in windows.each}


def only(text: str, *blocks: str) -> Windows:
    """Give the one group of windows of a file."""
    (found,) = study_of(text, *blocks).times.windows
    return found


def sums(window: WindowTime) -> list[int | None]:
    """Give the sums of a window at the three hands."""
    added = [window.sum(hand) for hand in HANDS]
    return [None if each is None else each.ms for each in added]


def said(text: str, *rules: str, **files: str) -> list[str]:
    """Check a file and give what some rules say of it: level, rule and message."""
    chosen = tuple(rule for rule in known_rules() if rule.id in rules)
    assert len(rules) == len(chosen)
    report = check({"example.yaml": completed("example.yaml", text), **files}, chosen)
    assert () == report.own_faults
    return [
        f"{'open' if each.result.kind == 'open' else each.level} {each.rule.id}: {each.result.message}" for each in report.results
    ]


FIT = "steps-do-not-fit-window"
ENDS = """endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
"""

# An on-board sequence of 14 lines with three windows, two of them inside the first. How long each line takes, in seconds, for
# the quickest, the typical and the slowest hand; the vehicle takes up to 9 s to learn and 2 s more to click:
#
#    1 turn O1 on            0.5  1    2    whole opens at its start
#    2 leave O1 on 3-5 s     3    4    5
#    3 turn O1 off           0.5  1    2    swap opens at its end
#    4 remove O1             1    1.5  3
#    5 insert N1             1    1.5  3
#    6 turn N1 on            0.5  1    2    swap closes: 4 + 5 + 6 = 2.5, 4, 8
#    7 leave N1 on 2 s       2    2    2
#    8 open door-driver      1    1.5  3    doors opens at its start
#    9 close door-driver     1    1.5  3
#   10 open door-driver      1    1.5  3
#   11 close door-driver     1    1.5  3    doors closes: 8 + 9 + 10 + 11 = 4, 6, 12
#   12 press N1 LOCK twice   1    2    4
#   13 learn N1, the click   11   11   11
#   14 turn N1 off           0.5  1    2    whole closes: 1 to 14 = 25, 32, 48
SEQUENCE = f"""
windows:
  whole: {{at-most: 40 s, late: again}}
  swap: {{at-most: 10 s, late: again}}
  doors: {{at-most: 5 s, late: again}}
steps:
  first:
    do:
      - {{do: turn O1 on, opens: whole at start}}
      - leave O1 on 3-5 s
      - {{do: turn O1 off, opens: swap}}
      - remove O1
  second:
    do:
      - insert N1
      - {{do: turn N1 on, closes: swap}}
      - leave N1 on 2 s
      - {{do: open door-driver, opens: doors at start}}
      - close door-driver
      - open door-driver
      - {{do: close door-driver, closes: doors}}
      - press N1 LOCK 2 times
      - {{do: learn N1, by: vehicle, takes: 4-6-9 s, expect: the locks click, within: 2 s}}
      - {{do: turn N1 off, closes: whole}}
    then: all-right
    fails: again
fallbacks:
  again: {{tries: 1, do: [make-sure ignition off, wait 20 s], ways: {{done: first, spent: not-learned}}}}
{ENDS}"""


def test_sums_of_a_nested_sequence() -> None:
    """Sums, slack and the hand at which each of three nested windows breaks are those reckoned by hand above."""
    found = windows_of(SEQUENCE)
    assert {"whole": [25_000, 32_000, 48_000], "swap": [2_500, 4_000, 8_000], "doors": [4_000, 6_000, 12_000]} == {
        name: sums(window) for name, window in found.items()
    }
    assert {"whole": [15_000, 8_000, -8_000], "swap": [7_500, 6_000, 2_000], "doors": [1_000, -1_000, -7_000]} == {
        name: [window.slack(hand) for hand in HANDS] for name, window in found.items()
    }
    assert {"whole": Hand.SLOWEST, "swap": None, "doors": Hand.TYPICAL} == {
        name: window.broken_at for name, window in found.items()
    }


def test_verdict_of_a_nested_sequence() -> None:
    """The typical hand that misses a window is a warning; a slow one is excused by the way for who is late."""
    assert [f"warning {FIT}: The typical hand is not done within 'doors'."] == said(SEQUENCE, FIT)
    assert [f"error {FIT}: Not even the quickest hand is done within 'whole'."] == said(
        SEQUENCE.replace("40 s", "24 s").replace("5 s, late", "12 s, late"), FIT
    )
    unexcused = SEQUENCE.replace("whole: {at-most: 40 s, late: again}", "whole: 40 s").replace("    fails: again\n", "")
    assert f"note {FIT}: A slow hand is not done within 'whole'." in said(unexcused, FIT)


def test_bars_of_a_nested_sequence() -> None:
    """A bar has 74 cells; a cell shows what is done at its middle, at `end` x (2 x cell + 1) / 148.
    Of `swap`, 10 s long, 1.5 s end before the middle of cell 11 (1.55 s), 3 s before that of cell 22, 4 s before that of cell 30. `doors` is
    drawn over the 6 s that are needed: 1.5 s, 3 s and 4.5 s end in cells 18, 37 and 55, and its 5 s in cell 61. Of
    `whole`, 40 s long, the lines end after 1, 5, 6, 7.5, 9, 10, 12, 13.5, 15, 16.5, 18, 20, 29, 31 and 32 s: in cells 2, 9,
    11, 14, 17, 18, 22, 25, 28, 31, 33, 37, 54, 57 and 59.
    """
    lines = text_of_bars(bars(study_of(SEQUENCE).times)).split("\n")
    assert [line for line in lines if not line.startswith("   ")] == [
        "whole: at most 40 s; the typical hand needs 32 s",
        f"  [aa{'b' * 7}ccdddeeef{'g' * 4}hhhiiihhhii{'j' * 4}{'K' * 17}LLLmm{'.' * 15}]",
        "  a turn O1 on: 1 s; b leave O1 on 3-5 s: 4 s; c turn O1 off: 1 s; d remove",
        "  slack: quickest 15 s, typical 8 s, slowest -8 s",
        "swap: at most 10 s; the typical hand needs 4 s",
        f"  [{'a' * 11}{'b' * 11}{'c' * 8}{'.' * 44}]",
        "  a remove O1: 1.5 s; b insert N1: 1.5 s; c turn N1 on: 1 s",
        "  slack: quickest 7.5 s, typical 6 s, slowest 2 s",
        "doors: at most 5 s; the typical hand needs 6 s",
        f"  [{'a' * 18}{'b' * 19}{'a' * 18}{'b' * 6}|{'b' * 12}]",
        "  a 2 x open door-driver: 3 s; b 2 x close door-driver: 3 s",
        "  slack: quickest 1 s, typical -1 s, slowest -7 s",
    ]
    assert [] == [line for line in lines if len(line) > WIDTH or not line.isascii()]


def test_sum_is_told() -> None:
    """A sum is told term by term, what is done twice as one term, and step by step where it has many terms."""
    found = windows_of(SEQUENCE)
    doors, whole = found["doors"].sum(Hand.TYPICAL), found["whole"].sum(Hand.QUICKEST)
    assert doors is not None
    assert whole is not None
    assert "2 x 'open door-driver' 3 s + 2 x 'close door-driver' 3 s" == summed(doors, Hand.TYPICAL)
    assert "'first' 5 s + 'second' 20 s" == summed(whole, Hand.QUICKEST)
    assert ["first", "second"] == [step.name for step in whole.steps]


def lengths(do: str, more: str = "", **counts: str) -> Length:
    """Give how long the one step of a file takes whose lines are these."""
    groups = "".join(f", {letter}: {{kind: key, registered: true, here: {here}}}" for letter, here in counts.items())
    keys = f"keys: {{O: {{kind: key, registered: true, here: 2}}, N: {{kind: key, registered: false, here: 1}}{groups}}}\n"
    study = study_of(f"{keys}steps:\n  one: {{do: {do}, then: all-right{more}}}\n")
    return study.times.pace.step(study.flow.first)


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        # Least, usual and most of the catalogue; at worst as the hand is.
        ("insert O1", (1_000, 1_500, 3_000, (1_000, 1_500, 3_000))),
        # The file's own time; without a middle the catalogue's usual one, held inside it.
        ("{do: insert O1, takes: 2-3-4 s}", (2_000, 3_000, 4_000, (2_000, 3_000, 4_000))),
        ("{do: insert O1, takes: 2-4 s}", (2_000, 2_000, 4_000, (2_000, 2_000, 4_000))),
        ("{do: insert O1, takes: 0.5-1 s}", (500, 1_000, 1_000, (500, 1_000, 1_000))),
        # A wait is as long as it says; its middle is its usual one. A minute, an hour and a day are units beside those of the SI.
        ("wait 4-9 s", (4_000, 6_500, 9_000, (4_000, 6_500, 9_000))),
        ("wait 2 min", (120_000, 120_000, 120_000, (120_000,) * 3)),
        ("wait 1 h", (3_600_000, 3_600_000, 3_600_000, (3_600_000,) * 3)),
        ("wait 1 d", (86_400_000, 86_400_000, 86_400_000, (86_400_000,) * 3)),
        ("{do: wait 4-9 s, takes: 5 s}", (5_000, 5_000, 5_000, (5_000,) * 3)),
        # What vehicle or equipment does is at worst at its most, whoever stands there; so is what the vehicle paces for a hand.
        ("{do: learn N1, takes: 4-6-9 s}", (4_000, 6_000, 9_000, (9_000,) * 3)),
        ("raise-window", (3_000, 5_000, 8_000, (8_000,) * 3)),
        ("{do: insert O1, by: equipment}", (1_000, 1_500, 3_000, (3_000,) * 3)),
        # A sign may come at once, and at worst when it is given up.
        ("{do: insert O1, expect: the lamp lights, within: 4 s}", (1_000, 1_500, 7_000, (5_000, 5_500, 7_000))),
        # Presses add up, and each may have a time of its own; what is put somewhere for a time stays there so long.
        ("press trip 3 times", (1_500, 3_000, 6_000, (1_500, 3_000, 6_000))),
        ("press trip 2 times each 1 s", (3_000, 4_000, 6_000, (3_000, 4_000, 6_000))),
        ("put N1 button 10 s", (11_000, 13_000, 16_000, (11_000, 13_000, 16_000))),
        # A group of keys is each of them in turn: 2 of O.
        ("put O aside", (2_000, 6_000, 12_000, (2_000, 6_000, 12_000))),
        # What may be so already takes nothing at least, and at most the longest way there; of one that stands for others, theirs.
        ("make-sure hood closed", (0, 5_000, 15_000, (0, 5_000, 15_000))),
        ("make-sure ignition off", (0, 1_000, 4_000, (0, 1_000, 4_000))),
        # Several lines add up; those that are written as one may have one time, and are done as often as it says.
        ("[insert O1, turn O1 on]", (1_500, 2_500, 5_000, (1_500, 2_500, 5_000))),
        ("{do: [turn O1 off, turn O1 on], repeat: 3}", (3_000, 6_000, 12_000, (3_000, 6_000, 12_000))),
        ("{do: [turn O1 off, turn O1 on], takes: 2-3 s, repeat: 3}", (6_000, 7_500, 9_000, (6_000, 7_500, 9_000))),
        ("{do: [learn N1, learn N1], takes: 5-8 s}", (5_000, 6_500, 8_000, (8_000,) * 3)),
        # What may be left out takes nothing at least.
        ("{do: insert O1, only-if: gearbox = manual}", (0, 1_500, 3_000, (1_000, 1_500, 3_000))),
    ],
)
def test_length_of_lines(do: str, expected: tuple[int, int, int, tuple[int, int, int]]) -> None:
    """A line takes what the file says, else what the catalogue says; at worst for each hand, what is given counts at its most."""
    found = lengths(do)
    assert expected == (found.least, found.usual, found.most, found.worst)


def test_group_of_unknown_size() -> None:
    """Of a group that may be smaller or larger the least is for the fewest keys and the rest for the most."""
    found = lengths("put R aside", R="1-3")
    assert (1_000, 6_000, 18_000, (3_000, 9_000, 18_000)) == (found.least, found.usual, found.most, found.worst)


def test_time_of_a_whole_step() -> None:
    """A time for a step is that of all its lines: the last takes what the others leave, and never less than nothing."""
    assert (10_000, 15_000, 20_000) == _three(lengths("[insert O1, turn O1 on, remove O1]", ", takes: 10-20 s"))
    assert (1_500, 2_500, 5_000) == _three(lengths("[insert O1, turn O1 on, remove O1]", ", takes: 1 s"))
    study = study_of("steps: {one: {do: [{do: learn O1}, {do: learn O1}], takes: 90 s, then: all-right, fails: all-right}}\n")
    assert [True, True] == [length.is_given for part in study.times.pace.parts(study.flow.first) for _, length in part.timed]


def _three(length: Length) -> tuple[int, int, int]:
    return length.least, length.usual, length.most


def test_question_takes_the_time_of_an_answer() -> None:
    """A question takes as long as an answer does by the catalogue."""
    study = study_of("steps: {one: {ask: Does it click?, ways: {yes-it-does: all-right, not-at-all: all-right}}}\n")
    assert (2_000, 5_000, 20_000) == _three(study.times.pace.step(study.flow.first))


def timed(steps: str, at_most: str = "20 s") -> str:
    """Write a file with the window `w` and these steps, of which the first is called `a`."""
    inside = "".join(f"  {line}\n" for line in steps.strip().split("\n"))
    head = f"windows: {{w: {{at-most: {at_most}, late: again}}}}\nsteps:\n{inside}"
    return f"{head}fallbacks:\n  again: {{tries: 1, do: wait 20 s, ways: {{done: a, spent: not-learned}}}}\n{ENDS}"


OPENED = "a: {do: {do: turn O1 on, opens: w}}"
CLOSED = "z: {do: {do: turn O1 off, closes: w}, then: all-right}"


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        # Of two ways the longer counts: 4 doors by `b`, or 5 s of waiting; then the turn that closes.
        (
            f"{OPENED}\nb: {{do: look hood, ways: {{open: c, closed: d, fails: again}}}}\nc: {{do: wait 5 s, then: z}}\n"
            f"d: {{do: [open doors, close doors, open doors, close doors]}}\n{CLOSED}",
            [2_000 + 5_000 + 500, 4_000 + 6_000 + 1_000, 10_000 + 12_000 + 2_000],
        ),
        # Rounds of a step are all there; those of a group are as many as there may be keys, and none is a way too.
        (f"{OPENED}\nb: {{repeat: 3, do: wait 2 s}}\n{CLOSED}", [6_500, 7_000, 8_000]),
        (f"{OPENED}\nb: {{for-each: {{X: R}}, do: wait 2 s}}\n{CLOSED}", [8_500, 9_000, 10_000]),
        # Opened in a round it is closed in that round; opened before, in the last one.
        ("a: {repeat: 4, do: [{do: turn O1 on, opens: w}, {do: turn O1 off, closes: w}], then: all-right}", [500, 1_000, 2_000]),
        (f"{OPENED}\nz: {{repeat: 4, do: [wait 1 s, {{do: wait 2 s, closes: w}}], then: all-right}}", [12_000, 12_000, 12_000]),
        # What is entered again with tries is there as often as it may be entered: twice, as each entry counts.
        (
            f"{OPENED}\nb: {{tries: 2, do: [wait 3 s, look hood], ways: {{open: b, closed: z, fails: again}}}}\n{CLOSED}",
            [2 * (3_000 + 2_000) + 500, 2 * (3_000 + 4_000) + 1_000, 2 * (3_000 + 10_000) + 2_000],
        ),
        # A step with tries to which no way leads back is entered once; its tries make no difference.
        (f"{OPENED}\nb: {{tries: 2, do: wait 3 s, fails: again}}\n{CLOSED}", [3_500, 4_000, 5_000]),
        # What leaves by failing gives the window up, and what has no way on is not gone on from.
        (f"{OPENED}\nb: {{do: learn N1, fails: c}}\n{CLOSED}\nc: {{do: wait 1 h, then: all-right}}", [60_500, 61_000, 62_000]),
        # A sign belongs to its line, and a line that may be left out is done where that is the longer way.
        (
            f"{OPENED}\nb: {{do: [{{do: wait 3 s, only-if: gearbox = manual}}, {{do: tap tool, expect: it wakes, within: 4 s}}], fails: again}}\n{CLOSED}",
            [3_000 + 1_000 + 4_000 + 500, 3_000 + 2_000 + 4_000 + 1_000, 3_000 + 5_000 + 4_000 + 2_000],
        ),
        # A question takes the time of an answer.
        (f"{OPENED}\nb: {{ask: Does it click?, ways: {{it-does: z, it-stays-silent: again}}}}\n{CLOSED}", [2_500, 6_000, 22_000]),
        # Marks may stand at the start of a line, and those of lines that are written as one are of all of them.
        (
            "a: {do: [{do: [turn O1 on, turn O1 off], opens: w at start, repeat: 2}, {do: wait 3 s, closes: w at start}], then: all-right}",
            [2_000, 4_000, 8_000],
        ),
        # A time that is written for several lines is their time.
        (f"{OPENED}\nb: {{do: {{do: [open doors, close doors], takes: 7 s}}}}\n{CLOSED}", [7_500, 8_000, 9_000]),
        # A window that is opened again after it was closed: the longer of the two.
        (
            f"{OPENED}\nb: {{do: [{{do: turn O1 off, closes: w}}, {{do: turn O1 on, opens: w}}, wait 6 s]}}\n{CLOSED}",
            [6_500, 7_000, 8_000],
        ),
    ],
)
def test_layout(steps: str, expected: list[int]) -> None:
    """The sum of a window is that of its longest way, reckoned by hand."""
    text = timed(steps, "1 h")
    if "R}" in text:
        text += "keys: {O: {kind: key, registered: true, here: 1}, R: {kind: remote, registered: true, here: 0-4}}\n"
    assert expected == sums(windows_of(text)["w"])


def test_block_inside_a_window() -> None:
    """A block that is followed inside a window takes as long as its longest way to its wished exit, at each hand."""
    block = (
        "block: blink\ngiven: {K: key, pause: duration}\nexits: [seen, dark]\nsteps:\n"
        "  a: {do: [put K aside, wait pause], fails: dark}\n  b: {do: look on-lamp, ways: {lit: seen, dark: c, fails: dark}}\n"
        "  c: {tries: 2, do: wait 1 s, then: b}\n"
    )
    text = timed(f"{OPENED}\nb: {{follow: blink 1, given: {{K: N1, pause: 3-5 s}}, fails: again}}\n{CLOSED}", "1 h")
    # Put 1, 3, 6; wait 3, 4, 5; look 2, 4, 10, three times, as `c` is entered twice; and 1 s each time.
    looked = [1_000 + 3_000 + 3 * 2_000 + 2_000 + 500, 3_000 + 4_000 + 3 * 4_000 + 2_000 + 1_000]
    assert [*looked, 6_000 + 5_000 + 3 * 10_000 + 2_000 + 2_000] == sums(windows_of(text, block)["w"])
    assert [500, 1_000, 2_000] == sums(windows_of(text)["w"])


def test_windows_that_share_no_step_stand_apart() -> None:
    """Windows that cannot be open at once are looked at by themselves, those that can together, in the order of the file."""
    text = SEQUENCE.replace("windows:", "windows:\n  last: {at-most: 20 s, late: again}").replace(
        "    then: all-right\n    fails: again\n",
        "    fails: again\n  third: {do: [{do: open tailgate, opens: last}, {do: close tailgate, closes: last}], then: all-right}\n",
    )
    assert [["last"], ["whole", "swap", "doors"]] == [
        [each.name for each in found.each] for found in study_of(text).times.windows
    ]
    assert ["last", "whole", "swap", "doors"] == [bar.window for bar in bars(study_of(text).times)]


def limit_of(text: str, *blocks: str) -> str:
    """Give the limit that was met in a file's windows, which are then undecided, have no slack and no bar."""
    study = study_of(text, *blocks)
    (windows,) = study.times.doubtful
    assert windows.limit is not None
    assert [windows.limit] == [limit for _, limit in study.times.undecided]
    (bar,) = bars(study.times)
    assert ((), (None, None, None)) == (bar.segments, bar.slack)
    assert () == (*study.times.missed, *study.times.outwaited, *study.times.clashes)
    assert "slack: quickest not known, typical not known, slowest not known" in text_of_bars([bar])
    return windows.limit.limit


def test_what_cannot_be_decided() -> None:
    """Rounds with no number, too many points and what only a caller tells leave a window undecided, and that is told as open."""
    endless = timed(f"{OPENED}\nb: {{do: look hood, ways: {{open: b, closed: z, fails: again}}}}\n{CLOSED}")
    assert "rounds that no number ends" == limit_of(endless)
    many = timed(f"{OPENED}\nb: {{repeat: 60, do: [{', '.join(['wait 1 s'] * 40)}]}}\n{CLOSED}")
    assert "points" == limit_of(many)
    assert [f"open {FIT}: Whether 'w' can be kept was not decided."] == said(many, FIT)
    block = "block: wake\ngiven: {L: keys, pause: duration, often: count}\nexits: [up, down]\nwindows: {w: {at-most: 20 s, late: down}}\nsteps:\n"
    lines = "  a: {do: {do: tap tool, opens: w}}\n  b: {INSIDE}\n  z: {do: {do: tap tool, closes: w}, then: up}\n"
    assert "a time that only the caller of the block tells" == limit_of(block + lines.replace("INSIDE", "do: wait pause"))
    assert "a time that only the caller of the block tells" == limit_of(
        block + lines.replace("INSIDE", "do: press trip often times")
    )
    told = limit_of(block + lines.replace("INSIDE", "for-each: {X: L}, do: put X aside"))
    assert "keys of which only the caller of the block tells how many" == told
    assert [3_000, 4_000, 7_000] == sums(windows_of(block + lines.replace("INSIDE", "do: wait 2 s"))["w"])
