"""What is told of the times of single lines, of marks and of waits; how long presses and waits last is common practice, no source."""

import pytest

from proclint.analysis.time.spoken import spoken
from proclint.apps.rule_set import known_rules
from proclint.testing import check, completed

RULES = tuple(rule for rule in known_rules() if rule.group == "time")
ENDS = """endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
"""


def told(text: str, **files: str) -> list[str]:
    """Check a file by the rules on time; give level, rule and message of each result."""
    report = check({"example.yaml": completed("example.yaml", text), **files}, RULES)
    assert () == report.own_faults
    assert () == report.not_checked
    return [f"{each.level} {each.rule.id}: {each.result.message}" for each in report.results]


def why(text: str, **files: str) -> list[str]:
    """Check a file by the rules on time; give why each result is one."""
    return [each.result.why for each in check({"example.yaml": completed("example.yaml", text), **files}, RULES).results]


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        # Quicker than hands; what others do, free words and what is as long as it says are not measured by hands.
        (
            "do: {do: open door-driver, takes: 0.2-0.5 s}",
            ["warning action-faster-than-hands: Nobody does 'open door-driver' in 0.2 s."],
        ),
        ("do: {do: open door-driver, takes: 1-2 s}", []),
        ("do: {do: learn O1, takes: 0.1 s}", []),
        ("do: {do: act knock on the mirror, by: technician, takes: 0.1 s}", []),
        ("do: {do: leave O1 on 3 s, takes: 1 s}", []),
        # From three presses on there is a pace.
        ("do: press trip 5 times", ["note minimum-gap-missing: Nothing says how quickly 'press trip 5 times' goes."]),
        ("do: press trip 2 times", []),
        ("do: press trip 5 times each 1 s", []),
        ("do: {do: press trip 5 times, takes: 3-4-6 s}", []),
        # Outside a window nothing is said of two presses of one key.
        ("do: [press O1 LOCK, press O1 UNLOCK]", []),
        # Whose time it is, how it shows that it is over, and when to stop waiting.
        ("do: wait-rearm", ["warning duration-owner-wrong: Nothing shows when 'wait-rearm' is over."]),
        (
            "do: {do: wait-rearm, by: technician, expect: the lamp blinks, within: 9 s}",
            ["warning duration-owner-wrong: The technician does not decide how long 'wait-rearm' takes."],
        ),
        (
            "do: {do: wait-rearm, expect: the lamp blinks}",
            ["error vehicle-wait-without-limit: Nothing says after what time to stop waiting for 'wait-rearm'."],
        ),
        ("do: {do: wait-rearm, expect: the lamp blinks, within: 9 s}", []),
        (
            "do: {do: act wait until the lamp goes dark, by: technician}",
            [
                "error vehicle-wait-without-limit: Nothing says after what time to stop waiting for 'act wait until the lamp goes dark'."
            ],
        ),
        ("do: {do: act wait until the lamp goes dark, by: technician, expect: it is dark, within: 9 s}", []),
        # What must be seen by then.
        ("do: {do: turn O1 on, within: 5 s}", ["warning window-without-end-event: Nothing says what must be seen within 5 s."]),
        # What is kept pressed, for how long: in seconds, by the line, or until something is seen.
        (
            "do: {do: act keep the switch pressed, by: technician}",
            ["error hold-without-duration: Nothing says how long 'keep the switch pressed' lasts."],
        ),
        ("do: {do: act keep the switch pressed for 2 to 4 s, by: technician}", []),
        ("do: {do: act keep the switch pressed, by: technician, takes: 2-4 s}", []),
        ("do: {do: act keep the switch pressed while you turn O1, by: technician}", []),
        ("do: {do: act keep the brake pedal pressed, by: technician}", []),
        (
            "do: {do: act keep the switch pressed until it clicks, by: technician}",
            [
                "error vehicle-wait-without-limit: Nothing says after what time to stop waiting for "
                "'act keep the switch pressed until it clicks'."
            ],
        ),
        ("{instruction: Keep LOCK pressed., do: keep O1 LOCK 2-4 s}", []),
        ("{instruction: Keep LOCK pressed., do: {do: press O1 LOCK, takes: 1-2 s}}", []),
        # How often: the number of tries is that of the step, and not of a movement in it.
        (
            "do: {do: act tap it again and again, by: technician}",
            ["error repeat-without-count: Nothing says how often 'again and again' is."],
        ),
        (
            "{tries: 2, do: {do: act tap it again and again, by: technician}}",
            ["error repeat-without-count: Nothing says how often 'again and again' is."],
        ),
        ("{tries: 2, do: {do: act tap it and repeat, by: technician}}", []),
        ("do: {do: act tap it and repeat, by: technician}", ["error repeat-without-count: Nothing says how often 'repeat' is."]),
        ("do: {do: act repeat the steps, by: technician}", []),
        ("{repeat: 3, do: {do: act tap it again and again, by: technician}}", []),
        ("{instruction: Press it repeatedly., do: press trip 2 times}", []),
        # Where it ends.
        (
            "{instruction: Turn O1 on and off 2 times., do: {do: [turn O1 on, turn O1 off], repeat: 2}}",
            ["warning repeat-end-state-unclear: Nothing says where 'on and off 2 times' ends."],
        ),
        ("{instruction: 'Turn O1 on and off 2 times, then on.', do: {do: [turn O1 off, turn O1 on], repeat: 2}}", []),
        ("{instruction: Turn O1 on and off 2 times. End at off., do: {do: [turn O1 on, turn O1 off], repeat: 2}}", []),
    ],
)
def test_slips_of_lines(step: str, expected: list[str]) -> None:
    """What a line or a text leaves open about its time is told, and nothing else."""
    inside = step.removeprefix("{").removesuffix("}") if step.startswith("{") else step
    assert expected == told(f"steps: {{one: {{{inside}, then: all-right, fails: not-learned}}}}\n{ENDS}")


WAIT = "{do: wait-access O1, takes: 840-900 s, expect: the lamp goes dark, within: 20 s}"
SLEEPS = ["error wait-outlives-session: The session may end during 'wait-access O1'."]
TABLE = "make,model,years,session-timeout,session-keepalive\nCorvane,Halyard,2013-2017,{}\n"


@pytest.mark.parametrize(
    ("meanwhile", "table", "expected"),
    [
        # Nothing is known of sessions; a table says 6 min, or 14 min and 59 s against a wait of up to 15 min; exactly 15 min is enough.
        ("", "", []),
        ("", TABLE.format("360,"), SLEEPS),
        ("", TABLE.format("899,"), SLEEPS),
        ("", TABLE.format("900,"), []),
        ("", TABLE.format("360,technician"), SLEEPS),
        # The tool keeps it up by itself, or somebody taps it often enough; 7 min between two taps are too many.
        ("", TABLE.format("360,tool"), []),
        ("meanwhile: {do: tap tool, every: 4 min}, ", TABLE.format("360,"), []),
        ("meanwhile: {do: tap tool}, ", TABLE.format("360,"), []),
        ("meanwhile: {do: tap tool, every: 7 min}, ", TABLE.format("360,"), SLEEPS),
    ],
)
def test_wait_against_the_session_of_a_table(meanwhile: str, table: str, expected: list[str]) -> None:
    """A wait in a session is held against the time after which a facts table lets it end."""
    text = f"steps: {{one: {{do: {WAIT}, {meanwhile}then: all-right, fails: not-learned}}}}\n{ENDS}"
    files = {"table.csv": table} if table else {}
    assert expected == told(text, **files)


def test_wait_against_the_taps_elsewhere() -> None:
    """Where a file has the tool tapped every 4 min in one wait, a wait of 14 min and more without taps is told."""
    text = f"steps:\n  one: {{do: {WAIT}, meanwhile: {{do: tap tool, every: 4 min}}, fails: not-learned}}\n"
    second = f"  two: {{do: {WAIT}, then: all-right, fails: not-learned}}\n{ENDS}"
    assert SLEEPS == told(text + second)
    assert ["It lasts 14 min and more, and elsewhere the tool is tapped every 4 min."] == why(text + second)
    assert [] == told(text + second.replace("840-900 s", "200 s"))


def timed(steps: str, *windows: str) -> str:
    """Write a file with some windows and these steps, of which the first is called `a`; whoever is late goes to `again`."""
    head = "windows:\n" + "".join(f"  {window}\n" for window in windows)
    again = "fallbacks:\n  again: {tries: 1, do: wait 20 s, ways: {done: a, spent: not-learned}}\n"
    return head + "steps:\n" + "".join(f"  {line}\n" for line in steps.split("\n")) + again + ENDS


W = "w: {at-most: 20 s, late: again}"


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        ("a: {do: {do: turn O1 on, opens: w}}\nz: {do: {do: turn O1 off, closes: w}, then: all-right}", []),
        # In one step, in the next one, in the next round.
        (
            "a: {do: [{do: turn O1 on, opens: w}, {do: turn O1 off, opens: w}, {do: turn O1 on, closes: w}], then: all-right}",
            ["error window-opened-twice: 'w' is still open when 'a' opens it."],
        ),
        (
            "a: {do: {do: turn O1 on, opens: w}}\nb: {do: {do: turn O1 off, opens: w}}\nz: {do: {do: turn O1 on, closes: w}, then: all-right}",
            ["error window-opened-twice: 'w' is still open when 'b' opens it."],
        ),
        (
            "a: {repeat: 2, do: [wait 1 s, {do: tap tool, opens: w}]}\nz: {do: {do: turn O1 on, closes: w}, then: all-right}",
            ["error window-opened-twice: 'w' is still open when 'a' opens it."],
        ),
        (
            "a: {do: {do: turn O1 on, opens: w}, then: all-right}",
            ["warning window-without-end-event: Nothing closes 'w' after it was opened."],
        ),
        (
            "a: {do: {do: turn O1 on, closes: w}, then: all-right}",
            ["error window-without-start-event: Nothing opens 'w' before it is closed."],
        ),
        # Two presses of one key in a window, with and without a wait for the answer.
        (
            "a: {do: [{do: press O1 LOCK, opens: w}, {do: press O1 UNLOCK, closes: w}], then: all-right}",
            ["warning answer-not-waited-for: Nothing is waited for after 'press O1 LOCK'."],
        ),
        ("a: {do: [{do: press O1 LOCK, opens: w}, wait 2 s, {do: press O1 UNLOCK, closes: w}], then: all-right}", []),
        ("a: {do: [{do: press O1 LOCK, opens: w}, {do: press O2 LOCK, closes: w}], then: all-right}", []),
        # A wait as long as the window, and one that leaves room.
        (
            "a: {do: {do: turn O1 on, opens: w}}\nz: {do: [wait 15-20 s, {do: turn O1 off, closes: w}], then: all-right}",
            ["error wait-exceeds-window: 'wait 15-20 s' alone can last as long as 'w'."],
        ),
        ("a: {do: {do: turn O1 on, opens: w}}\nz: {do: [wait 15 s, {do: turn O1 off, closes: w}], then: all-right}", []),
    ],
)
def test_marks(steps: str, expected: list[str]) -> None:
    """Marks that make no sense, and what stands between two of them, are told once."""
    assert expected == told(timed(steps, W))


@pytest.mark.parametrize(
    ("window", "fails", "expected"),
    [
        ("w: 20 s", "", ["error no-way-when-late: Nothing says where to go on when 'w' is missed."]),
        ("w: 20 s", ", fails: again", []),
        ("w: {at-least: 1 s}", "", []),
    ],
)
def test_way_when_late(window: str, fails: str, expected: list[str]) -> None:
    """Each step that closes a window with a longest time says where to go on when it is missed, or the window does."""
    steps = f"a: {{do: {{do: turn O1 on, opens: w}}}}\nz: {{do: {{do: turn O1 off, closes: w, expect: it is dark, within: 1 s}}, then: all-right{fails}}}"
    if not fails:
        steps = steps.replace(", expect: it is dark, within: 1 s", "")
    assert expected == told(timed(steps, window))


OUTER, NESTED = (
    "o: {at-most: 30 s, late: again}",
    "note inner-window-outlives-outer: 'w' may end after 'o', inside which it lies.",
)
BOTH = "a: {do: [{do: turn O1 on, opens: o}, wait 4-5 s, {do: turn O1 off, opens: w}]}\nz: {do: {do: tap tool, closes: [w, o]}, then: all-right}"
LATER = "a: {do: {do: turn O1 on, opens: o}}\nb: {do: [wait 4-5 s, {do: turn O1 off, opens: w}]}\nz: {do: {do: tap tool, closes: [w, o]}, then: all-right}"


@pytest.mark.parametrize(
    ("steps", "inner", "expected"),
    [
        # Opened by the typical hand 4.5 s and 1 s after the outer one: 24.5 s are left of 30 s.
        (BOTH, "w: {at-most: 24 s, late: again}", []),
        (BOTH, "w: {at-most: 25 s, late: again}", [NESTED]),
        (LATER, "w: {at-most: 24 s, late: again}", []),
        (LATER, "w: {at-most: 25 s, late: again}", [NESTED]),
        # What has tries is laid out: entered twice, each time 2 s for the tap, before the inner one opens.
        (
            LATER.replace("b: {", "b: {tries: 2, ")
            .replace("[wait 4-5 s, ", "[look hood, ")
            .replace("w}]}", "w}], ways: {open: b, otherwise: z}}"),
            "w: {at-most: 40 s, late: again}",
            None,
        ),
        # One that has no longest time ends after nothing.
        (BOTH, "w: {at-least: 1 s, late: again}", []),
        # Opened where the outer one has ended it lies in no other.
        (
            "a: {do: [{do: turn O1 on, opens: o}, {do: turn O1 off, closes: o, opens: w}]}\nz: {do: {do: tap tool, closes: w}, then: all-right}",
            "w: {at-most: 40 s, late: again}",
            [],
        ),
    ],
)
def test_windows_in_windows(steps: str, inner: str, expected: list[str] | None) -> None:
    """A window inside another is told if it may end after it when the typical hand opens it."""
    found = told(timed(steps, OUTER, inner))
    if expected is None:
        assert NESTED in found
    else:
        assert expected == found


def test_outer_that_is_missed_anyway_says_nothing_of_the_inner() -> None:
    """Where the steps of the outer window do not fit, that is told and nothing else."""
    found = told(timed(BOTH.replace("wait 4-5 s", "wait 28-29 s"), OUTER, "w: {at-most: 25 s, late: again}"))
    assert ["warning steps-do-not-fit-window: The typical hand is not done within 'o'."] == found


FITS = "steps-do-not-fit-window"


@pytest.mark.parametrize(
    ("window", "line", "expected"),
    [
        # A key left at on for 2 to 4 s, 3 in the middle, and what the vehicle learns in 1 to 3 s: at least 2 and 1, at most 4 and 3.
        # So 5 s at least are reached by leaving it for 4 s, and 6 s are not; 7 s at most are enough for whoever leaves it for 4 s.
        ("{at-least: 5 s, late: again}", "leave O1 on 2-4 s", []),
        (
            "{at-least: 6 s, late: again}",
            "leave O1 on 2-4 s",
            [f"error {FITS}: Not even the quickest hand keeps all bounds of 'w'."],
        ),
        ("{at-least: 5 s, at-most: 7 s, late: again}", "leave O1 on 2-4 s", []),
        # A hand that may idle waits as long as it likes.
        ("{at-least: 60 s, late: again}", "insert O1", []),
        # Between 4.5 and 6.5 s: whoever has inserted it 3.5 s after the beginning is in time, whatever the vehicle takes; even a slow
        # hand can, with 3 s. Between 4.5 and 6 s nobody can: 3.5 s would be too late for a vehicle that takes 3 s.
        ("{at-least: 4.5 s, at-most: 6.5 s, late: again}", "insert O1", []),
        (
            "{at-least: 4.5 s, at-most: 6 s, late: again}",
            "insert O1",
            [f"error {FITS}: Not even the quickest hand keeps all bounds of 'w'."],
        ),
    ],
)
def test_bounds_together(window: str, line: str, expected: list[str]) -> None:
    """Where a window also has a shortest time, all that holds at once is looked at together."""
    learn = "{do: learn O1, by: vehicle, takes: 1-3 s, closes: w}"
    steps = f"a: {{do: [{{do: {line}, opens: w at start}}, {learn}], then: all-right, fails: not-learned}}"
    assert expected == told(timed(steps, f"w: {window}"))


def test_bounds_are_told_with_what_is_missing() -> None:
    """Each bound that cannot be kept is told once, and how much is missing: 6 s less 4 s and the 1 s that is sure."""
    learn = "{do: learn O1, by: vehicle, takes: 1-3 s, closes: w}"
    steps = f"a: {{do: [{{do: leave O1 on 2-4 s, opens: w at start}}, {learn}], then: all-right, fails: not-learned}}"
    [found] = why(timed(steps, "w: {at-least: 6 s, late: again}"))
    assert found.endswith(": 1 s short.")
    assert {"'leave O1 on 2-4 s' takes no longer than 4 s", "'w' lasts at least 6 s"} <= set(
        found.removesuffix(": 1 s short.").split("; ")
    )


@pytest.mark.parametrize(
    ("ms", "expected"),
    [
        (0, "0 s"), (1_500, "1.5 s"), (-2_000, "-2 s"), (60_000, "60 s"), (110_000, "110 s"), (240_000, "4 min"),
        (300_000, "5 min"), (330_000, "5.5 min"), (359_999, "6 min"), (3_600_000, "60 min"),
    ],
)  # fmt: skip
def test_spoken(ms: int, expected: str) -> None:
    """A time is said in seconds, whole minutes and long ones in minutes."""
    assert expected == spoken(ms)
