"""A lamp that goes dark is a sign where someone saw it lit: in texts, and on ways. Common practice, no source."""

import pytest

from proclint.analysis.lamps import change_of, is_watched
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.testing import check, completed

RULES = tuple(rule for rule in known_rules() if rule.id == "immobiliser-not-known-armed")
START = "start: {ignition: on, cylinder: N1, tool: plugged, session: open}"
ENDS = """
endings:
  all-right: {kind: success, tell: It works.}
  not-sure: {kind: not-as-found, tell: It may not work.}
  gone: {kind: referred, tell: It does not answer.}
"""
OUT = "the immobiliser lamp goes out"
LEARN = f"learn-it: {{do: {{do: learn N1, expect: {OUT}, within: 5 s}}, then: all-right, fails: not-sure}}"
TOLD = f"'{OUT}' tells nothing: nobody saw the lamp lit before."


def told(*steps: str, start: str = START, blocks: dict[str, str] | None = None) -> list[str]:
    """Check a file by the rule; give the file and message of each result."""
    text = completed("example.yaml", "\n  ".join((f"{start}\nsteps:", *steps)) + ENDS)
    report = check({"example.yaml": text, **(blocks or {})}, RULES)
    assert () == report.own_faults
    assert () == report.not_checked
    return [each.result.message for each in report.results]


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("the immobiliser lamp goes out", "dark"),
        ("The security light stops blinking.", "dark"),
        ("the screen shows OK and the immobiliser lamp goes dark", "dark"),
        ("Did the immobiliser lamp go out?", "dark"),
        ("the immobiliser lamp stops blinking and goes out", "dark"),
        # With its time, or with what it does before or after, the change is seen as a whole.
        ("the immobiliser lamp goes dark for 3 s", "lit"),
        ("the immobiliser lamp stays lit for 2 s and goes dark", "lit"),
        ("the immobiliser lamp goes out, then blinks", "lit"),
        ("the immobiliser lamp does not go out", "lit"),
        ("the immobiliser lamp blinks slowly", "lit"),
        ("the immobiliser lamp does not blink", ""),
        ("the immobiliser lamp stays dark", ""),
        # Another lamp, the screen's own words, and a sentence about something else.
        ("every dash lamp goes out", ""),
        ("the screen shows 'immobiliser lamp goes out'", ""),
        ("Watch the immobiliser lamp. The engine goes off.", ""),
    ],
)
def test_what_a_text_says_of_the_lamp(text: str, change: str) -> None:
    """Going dark, nothing else shown, is one thing; being seen lit on the way is another; other lamps are none."""
    assert change == change_of(text, standard())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Watch the immobiliser lamp.", True),
        ("Turn N1 to on. The immobiliser lamp blinks.", True),
        ("Turn N1 to on. The immobiliser lamp goes out.", False),
        ("Watch the screen.", False),
    ],
)
def test_who_is_told_to_look(text: str, expected: bool) -> None:
    """Whoever is told to watch the lamp, or that it blinks, sees it."""
    assert expected == is_watched(text, standard())


@pytest.mark.parametrize(
    ("before", "expected"),
    [
        ("wait 5 s", [TOLD]),
        ("act see that the immobiliser lamp blinks", []),
        ("act count the teeth of the blade", [TOLD]),
        ("look immobiliser-lamp", []),
        ("look hood", [TOLD]),
        ("{do: tap tool, expect: the immobiliser lamp is lit}", []),
        ("{do: tap tool, expect: the dash lamps light}", [TOLD]),
        # The printed sentence of the line says what is seen.
        ("wait-rearm", []),
        # With another key in, what the lamp showed before says nothing.
        ("look immobiliser-lamp, remove O1, insert N1", [TOLD]),
        # A change once seen as a whole shows that the lamp is lit.
        ("{do: erase O1, expect: the immobiliser lamp goes dark for 2 s}", []),
    ],
)
def test_what_is_seen_before(before: str, expected: list[str]) -> None:
    """The lamp was seen by its name, lit or looked at, with the key that is in."""
    assert expected == told(f"first: {{do: [{before}], fails: gone}}", LEARN)


def test_where_the_step_says_to_watch() -> None:
    """An instruction or a note to a prompt that has the lamp watched, or shown lit, is enough in its step and behind it."""
    sign = f"do: {{do: learn N1, expect: {OUT}}}, then: all-right, fails: not-sure}}"
    assert [] == told(f"learn-it: {{instruction: Watch the immobiliser lamp. Learn N1., {sign}")
    assert [TOLD] == told(f"learn-it: {{instruction: Learn N1., {sign}")
    means = "prompt: {says: GO, choices: {Y: add}, answer: Y, means: The immobiliser lamp blinks now.}"
    assert [] == told(f"asked: {{{means}}}", LEARN)


def test_what_the_start_states() -> None:
    """A lamp that `start` says to be lit was seen lit; dark or unknown it was not."""
    for value, expected in (("slow-blink", []), ("off", [TOLD]), ("unknown", [TOLD])):
        assert expected == told(LEARN, start=START.replace("{", f"{{immobiliser-lamp: {value}, "))


def test_one_way_is_enough() -> None:
    """One way on which nobody looked is told; a look that found the lamp dark, or a sign that did not come, has shown nothing."""
    look = "see: {do: look immobiliser-lamp, ways: {off: %s, otherwise: learn-it, fails: gone}}"
    assert [] == told(look % "gone", LEARN)
    assert [TOLD] == told(look % "learn-it", LEARN)
    fork = 'ask: {ask: Is it cold?, ways: {"yes": before, "no": learn-it}}'
    assert [TOLD] == told(fork, "before: {do: erase O1, fails: gone}", LEARN)
    sign = "see: {do: {do: tap tool, expect: the immobiliser lamp is lit}, then: learn-it, fails: %s}"
    assert [] == told(sign % "gone", LEARN)
    assert [TOLD] == told(sign % "learn-it", LEARN)
    spent = "see: {tries: 1, do: look immobiliser-lamp, ways: {off: see, otherwise: learn-it, fails: gone, spent: %s}}"
    assert [] == told(spent % "gone", LEARN)
    assert [TOLD] == told(spent % "learn-it", LEARN)


def test_the_turn_to_on_shows_it() -> None:
    """As the ignition comes on the vehicle lights its lamps for a moment: who turns the key sees them."""
    turned = f"a: {{do: {{do: turn N1 on, expect: {OUT}}}, then: all-right, fails: gone}}"
    assert [] == told(turned, start="start: {ignition: off, cylinder: N1}")


def test_a_question_about_it() -> None:
    """A person who is asked whether it went out needs to have seen it; one who was asked about it has looked."""
    ask = 'a: {ask: "%s", ways: {"yes": %s, "no": not-sure}}'
    question = "Did the immobiliser lamp go out?"
    assert [f"'{question}' tells nothing: nobody saw the lamp lit before."] == told(ask % (question, "all-right"))
    assert [] == told(ask % ("Is the hood closed?", "all-right"))
    assert [] == told(ask % ("Does the immobiliser lamp blink?", "learn-it"), LEARN)


OFF = "'off' tells nothing: nobody saw the lamp lit before."


@pytest.mark.parametrize(
    ("before", "ways", "expected"),
    [
        ("learn N1", "off: all-right, otherwise: not-sure, fails: not-sure", [OFF]),
        ("[learn N1, wait 3 s]", "off: on-with-it, otherwise: not-sure, fails: not-sure", [OFF]),
        # Dark is what is not wished, makes no difference, or is not asked for.
        ("learn N1", "off: not-sure, otherwise: all-right, fails: not-sure", []),
        ("learn N1", "off: again, otherwise: all-right, fails: not-sure", []),
        ("learn N1", "off: all-right, otherwise: all-right, fails: all-right", []),
        ("learn N1", "solid: all-right, otherwise: not-sure, fails: not-sure", []),
        # Nothing was done to which the lamp could answer, or something else was done since.
        ("wait 3 s", "off: all-right, otherwise: not-sure, fails: not-sure", []),
        ("[learn N1, turn N1 off]", "off: all-right, otherwise: not-sure, fails: not-sure", []),
    ],
)
def test_a_look_at_it(before: str, ways: str, expected: list[str]) -> None:
    """A look that takes dark for the answer to what was just done needs a look before; a first look at a lamp needs none."""
    steps = (
        f"do-it: {{do: {before}, fails: not-sure}}",
        f"see: {{do: look immobiliser-lamp, ways: {{{ways}}}}}",
        "on-with-it: {do: tap tool, then: all-right}\nfallbacks:",
        "again: {do: tap tool, then: not-sure}",
    )
    assert expected == told(*steps)


BLOCK = "block: b\nversion: 1\ntitle: Some block\ngiven: {K: key}\nexits: [taken, left]\nsteps:\n  %s\n"
IN_BLOCK = f"  last: {{do: {{do: learn K, expect: {OUT}}}, then: taken, fails: left}}"
CALL = "call: {follow: b 1, given: {K: N1}, then: all-right, fails: not-sure}"


def test_blocks() -> None:
    """A block leaves it to its callers to have looked, and each of them is told; what the block itself loses is told there."""
    plain = {"blocks/b.yaml": BLOCK % IN_BLOCK.strip()}
    assert [TOLD] == told(CALL, blocks=plain)
    assert [] == told("see: {do: look immobiliser-lamp}", CALL, blocks=plain)
    other = completed("other.yaml", f"{START}\nsteps:\n  {CALL}{ENDS}")
    # Two callers of one block fold into one result.
    assert [TOLD] == told(CALL, blocks={**plain, "other.yaml": other})
    swapped = {"blocks/b.yaml": BLOCK % ("swap: {do: insert K}\n" + IN_BLOCK)}
    assert [TOLD] == told("see: {do: look immobiliser-lamp}", CALL, blocks=swapped)
