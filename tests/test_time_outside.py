"""Times as the format takes them, and what is asked of timed steps, against what others have laid down.

- Durations as text: RFC 3339, appendix A, and ISO 8601. The texts and which of them are right are those of the JSON Schema test
  suite (draft2020-12/optional/format/duration.json, commit 44401e0c). RFC 3339 refuses `PT0.5S`, ISO 8601 takes it (the latter
  from memory); the format takes neither writing, so that the two need not be weighed.
- Units: BIPM, SI Brochure, 9th edition, table 8; the seconds in each are those of scipy.constants.
- Timed and repeated steps: DOE-STD-1029-92, change notice 1, known from two of its pages.
- How long hands and equipment take: common practice, no source.
"""

import pytest
import scipy.constants

from proclint.apps.rule_set import known_rules
from proclint.catalogue import Duration, Mismatch, read_duration, standard
from proclint.engine import place_of
from proclint.testing import check, completed

RIGHT = (
    "P4DT12H30M5S P4Y PT0S P0D P1M PT1M PT36H P1DT12H P2W P1Y2M3DT4H5M6S PT1H2M3S P1M2D PT1H30M P01D PT1M2S".split()  # noqa: SIM905
)
WRONG = [
    *"PT1D 4DT12H30M5S P P1YT PT P2D1Y P1D2H P2S P1Y2W P1 PT0.5S P1Y2D PT1H2S -P1D P1WT1H P0Y1W PT0,5S P-1D".split(),  # noqa: SIM905
    *("P1D ", " P1D", "P1D\n", ""),
]


@pytest.mark.parametrize("text", [*RIGHT, *WRONG], ids=repr)
def test_coded_durations_are_refused(text: str) -> None:
    """A duration in the letters of RFC 3339 is refused, right or wrong there: nobody reads them aloud at a vehicle."""
    assert read_duration(text) is None
    assert isinstance(standard().match(f"wait {text}"), Mismatch)


@pytest.mark.parametrize("text", ["PT10S", "PT0.5S"])
def test_coded_duration_is_told_where_it_stands(text: str) -> None:
    """A file in which a time is written so gets a result at that line, and no reading of it."""
    found = told(f"steps:\n  rest:\n    do: tap tool\n    takes: {text}\n    then: all-right\n")
    assert ["wrong-shape"] == [rule for rule, _ in found]
    assert [4] == [line for _, line in found]


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1 s", 1),
        ("1 min", scipy.constants.minute),
        ("1 h", scipy.constants.hour),
        ("1 d", scipy.constants.day),
        ("0.5 s", 500 * scipy.constants.milli),
        ("1.5 min", 1.5 * scipy.constants.minute),
    ],
)
def test_units_are_as_long_as_elsewhere(text: str, seconds: float) -> None:
    """A unit of time has as many seconds as in scipy.constants."""
    milliseconds = round(seconds * 1000)
    assert Duration(milliseconds, milliseconds, milliseconds) == read_duration(text)


@pytest.mark.parametrize(
    "symbol", ["week", "wk", "month", "year", "a", "yr", "ms", "ks", "us", "mn", "hr", "sec", "'", '"', "''"]
)
def test_other_units_of_time_are_refused(symbol: str) -> None:
    """Beside the SI, table 8 takes min, h and d for times and no other; of the SI's own the format takes s without a prefix."""
    assert read_duration(f"1 {symbol}") is None


def told(text: str) -> list[tuple[str, int]]:
    """Check a file by the rules on shape and time; give the rule and line of each result."""
    rules = tuple(rule for rule in known_rules() if rule.group in ("shape", "time"))
    report = check({"example.yaml": completed("example.yaml", text)}, rules)
    assert () == report.own_faults
    return [(each.rule.id, place_of(report, each.result.at)[0]) for each in report.results]


# A press that has to come within 10 s: what starts the clock, what has to be done by then, and what to do when it is too late.
PRESS = """\
windows: {press: {at-most: 10 s, late: too-late}}
steps:
  begin: {do: {do: turn O1 on, opens: press}}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [turn O1 off, wait 20 s], ways: {done: begin, spent: not-learned}}
endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
"""


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("", "", []),
        # The first of the timed steps tells from when the time counts.
        ("{do: turn O1 on, opens: press}", "turn O1 on", [("window-without-start-event", 4)]),
        # It is told what has to be done by then.
        ("{do: keep O1 LOCK 2-4 s, closes: press}", "keep O1 LOCK 2-4 s", [("window-without-end-event", 3)]),
        # It is told what to do if the time cannot be met: at the window, or where the closing step fails.
        ("at-most: 10 s, late: too-late", "at-most: 10 s", [("no-way-when-late", 1)]),
    ],
)
def test_timed_steps(old: str, new: str, expected: list[tuple[str, int]]) -> None:
    """A timed step says what starts the clock, what must be done by then, and what to do if not (DOE-STD-1029-92)."""
    assert expected == told(PRESS.replace(old, new))


def test_late_may_be_where_the_closing_step_fails() -> None:
    """What to do if the time cannot be met may stand at the step that closes the window (DOE-STD-1029-92)."""
    at_step = PRESS.replace(", late: too-late", "").replace("then: all-right", "then: all-right, fails: too-late")
    assert [] == told(at_step.replace("closes: press", "closes: press, expect: the locks click, within: 2 s"))


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Press the trip switch repeatedly.", ["repeat-without-count"]),
        ("Press the trip switch again and again.", ["repeat-without-count"]),
        ("Press the trip switch 2 times.", []),
    ],
)
def test_repeated_steps(said: str, expected: list[str]) -> None:
    """Whoever repeats something is told when to stop (DOE-STD-1029-92)."""
    text = f"steps: {{press-it: {{instruction: {said}, do: press trip, then: all-right}}}}\n"
    assert expected == [rule for rule, _ in told(text)]


def test_press_takes_about_a_second() -> None:
    """Pressing a button takes a usual hand about 1 s (common practice, no source)."""
    takes = standard().actions["press"].takes
    assert isinstance(takes, Duration)
    assert 1_000 == takes.usual


def test_equipment_takes_about_a_minute_and_is_not_hurried() -> None:
    """Equipment may take about a minute to register a key, and it and not the hand says how long (common practice, no source)."""
    learn = standard().actions["learn"]
    assert isinstance(learn.takes, Duration)
    assert 60_000 == learn.takes.most
    assert "technician" != learn.paced_by
