"""A tone is waited for where a chime may sound: which signs are tones, and when it sounds; common practice, no source."""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.testing import check, completed

RULES = tuple(rule for rule in known_rules() if rule.id == "chime-masks-signal")
START = "start: {ignition: on, cylinder: O1, belt-driver: fastened, door-driver: closed}"
ENDS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}"


def told(steps: str, start: str = START) -> list[str]:
    """Check a file by the rule; give the subject and message of each result."""
    text = completed("example.yaml", f"{start}\nsteps:\n  {steps}\n{ENDS}\n")
    report = check({"example.yaml": text}, RULES)
    assert () == report.own_faults
    assert () == report.not_checked
    return [f"{each.result.subject}: {each.result.message}" for each in report.results]


@pytest.mark.parametrize(
    ("sign", "is_tone"),
    [
        ("one chime sounds", True),
        ("Two tones.", True),
        ("the buzzer stops", True),
        ("the dash beeps", True),
        ("a beep, and the immobiliser lamp goes out", False),
        ("a tone with the screen text DONE", False),
        ("the locks click once", False),
        ("the brake pedal gives way", False),
        ("overtones", False),
        ("", False),
    ],
)
def test_what_a_tone_is(sign: str, is_tone: bool) -> None:
    """A tone is heard; with a lamp, a screen or a click besides nobody has to trust his ears alone."""
    assert is_tone == standard().speech.is_tone(sign)


LEARN = "learn: {do: {do: learn N1, by: vehicle, expect: %s, within: 5 s}, then: all-right, fails: gone}"


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, []),
        ({"belt-driver: fastened": "belt-driver: open"}, ["belt-driver: While 'learn N1' waits for a tone, a chime may sound."]),
        ({"door-driver: closed": "door-driver: open"}, ["door-driver: While 'learn N1' waits for a tone, a chime may sound."]),
        # With the ignition off the belt says nothing, and without a key the door does not.
        ({"belt-driver: fastened": "belt-driver: open", "ignition: on": "ignition: off"}, []),
        ({"door-driver: closed": "door-driver: open", "cylinder: O1": "cylinder: empty", "ignition: on": "ignition: off"}, []),
    ],
)
def test_when_a_chime_sounds(changed: dict[str, str], expected: list[str]) -> None:
    """At ON with the belt open, and with a key in and the driver's door open."""
    start = START
    for old, new in changed.items():
        start = start.replace(old, new)
    assert expected == told(LEARN % "two tones", start)
    assert [] == told(LEARN % "the immobiliser lamp goes out", start)


def test_a_line_that_turns_or_closes() -> None:
    """What a line does itself counts: the belt chimes after the turn to on, and the door no longer after it is closed."""
    off = START.replace("ignition: on", "ignition: off").replace("fastened", "open")
    turned = "a: {do: {do: turn O1 %s, expect: one tone, within: 5 s}, then: all-right, fails: gone}"
    assert ["belt-driver: While 'turn O1 on' waits for a tone, a chime may sound."] == told(turned % "on", off)
    assert [] == told(turned % "accessory", off)
    shut = "a: {do: {do: close door-driver, expect: one tone, within: 5 s}, then: all-right, fails: gone}"
    opened = START.replace("door-driver: closed", "door-driver: open")
    assert [] == told(shut, opened)
    assert ["belt-driver: While 'close door-driver' waits for a tone, a chime may sound."] == told(
        shut, opened.replace("fastened", "open")
    )


def test_one_way_is_enough() -> None:
    """Where one way leaves the door open and another does not, a chime may sound; nothing is told of a door nobody spoke of."""
    ask = 'a: {ask: Is the glass up?, ways: {"yes": learn, "no": look-out}}\n  look-out: {do: open door-driver, then: learn}\n  '
    start = START.replace("}", ", locks: unlocked}")
    assert ["door-driver: While 'learn N1' waits for a tone, a chime may sound."] == told(ask + LEARN % "two tones", start)
    assert [] == told(LEARN % "two tones", START.replace("door-driver: closed", "door-driver: unknown"))
