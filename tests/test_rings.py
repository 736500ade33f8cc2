"""Keys that words leave on one ring until the vehicle reads one of them. Common practice, no source."""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.testing import check, completed

RULES = tuple(rule for rule in known_rules() if rule.id == "other-transponder-near")
HEAD = """\
keys:
  O: {kind: key, registered: true, here: 2}
  N: {kind: key, registered: false, here: 1}
  R: {kind: remote, registered: true, here: 2}
start: {ignition: off, cylinder: N1}
steps:
"""
ENDS = """
endings:
  all-right: {kind: success, tell: It works.}
  gone: {kind: referred, tell: It does not answer.}
"""
ON = "on: {do: turn N1 on, then: all-right}"


def told(*steps: str, head: str = HEAD, blocks: dict[str, str] | None = None) -> list[str]:
    """Check a file by the rule; give the message of each result."""
    text = completed("example.yaml", head + "".join(f"  {step}\n" for step in steps) + ENDS)
    report = check({"example.yaml": text, **(blocks or {})}, RULES)
    assert () == report.own_faults
    assert () == report.not_checked
    return [each.result.message for each in report.results]


def at(phrase: str, line: str = "turn N1 on") -> list[str]:
    """Give the one message that is expected."""
    return [f"'{phrase}' leaves two chips at the cylinder at '{line}'."]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Keep O1 on the ring with N1.", at("on the ring")),
        ("Leave the bunch on.", at("the bunch on")),
        ("Both keys stay on one ring.", at("on one ring")),
        ("The other keys hang on its ring.", at("on its ring")),
        ("Sit in. Leave N1 on one ring with O2; fasten the belt.", at("on one ring")),
        # Said the other way round, asked, or of one key at the antenna's ring.
        ("Never keep O1 on the ring with N1.", []),
        ("Take O1 and N1 off each other where they hang on one ring.", []),
        ("If O1 and N1 hang on one ring, take them apart.", []),
        ("Hold N1 on the ring.", []),
        # Remotes have no chip; originals on one ring do not stand beside N1.
        ("Keep R1 on the ring with N1.", []),
        ("Keep R1 and R2, both keys, on one ring.", []),
        ("Keep O1 and O2 on one ring.", []),
        ("The tool says 'keep both on one ring'.", []),
        # Taken apart in the next sentence.
        ("Both keys come on one ring. Take O1 off the ring.", []),
    ],
)
def test_what_leaves_keys_together(text: str, expected: list[str]) -> None:
    """Two keys with a chip, or a bunch, said to hang together; one of them is then read."""
    assert expected == told(f'ready: {{instruction: "{text}", do: look hood, fails: gone}}', ON)


@pytest.mark.parametrize(
    ("between", "expected"),
    [
        ("look hood", at("on one ring")),
        ("put O1 aside", []),
        ("isolate N1", []),
        ("act take O1 off the ring", []),
        ("act take the cowl off", at("on one ring")),
        ("turn N1 accessory", at("on one ring")),
    ],
)
def test_until_they_are_apart(between: str, expected: list[str]) -> None:
    """A line or a text that lays them apart ends it; any other does not."""
    assert expected == told("a: {do: act leave O1 and N1 on one ring, fails: gone}", f"b: {{do: {between}, fails: gone}}", ON)


def test_fobs() -> None:
    """With a start button there is no cylinder: fobs on one ring are told of by their distance."""
    head = HEAD.replace("kind: key", "kind: fob").replace("cylinder: N1", "cylinder: empty")
    ring = "a: {do: act leave O1 and N1 on one ring}"
    assert [] == told(ring, "b: {do: learn N1, then: all-right, fails: gone}", head=head)
    assert [] == told('a: {ask: Are O1 and N1 on one ring?, ways: {"yes": on, "no": on}}', ON)


def test_which_line_reads() -> None:
    """The chip is read at ON, at the learn, the wait and the start; not where buttons are learned, nor before the words."""
    ring = "act leave O1 and N1 on one ring"
    for line in ("learn N1", "wait-access N1", "wait-access", "start N1", "turn N1 on"):
        assert at("on one ring", line) == told(f"a: {{do: [{ring}, {line}], then: all-right, fails: gone}}")
    for line in ("learn N1 remote", "learn R1", "turn N1 off", "press N1 LOCK", "learn O2"):
        assert [] == told(f"a: {{do: [{ring}, {line}], then: all-right, fails: gone}}")
    assert [] == told(f"a: {{do: [turn N1 on, {ring}], then: all-right, fails: gone}}")


def test_rounds_and_groups() -> None:
    """A group's letter is each of its keys, and the letter of a round those it goes through."""
    ring = "a: {do: act leave O1 and N1 on one ring}"
    each = "b: {for-each: {X: %s}, do: learn X, then: all-right, fails: gone}"
    assert at("on one ring", "learn X") == told(ring, each % "[O, N]")
    assert [] == told(ring, each % "R")
    assert at("on one ring", "learn N.missing") == told(ring, "b: {do: learn N.missing, then: all-right, fails: gone}")


def test_one_way_is_enough() -> None:
    """On one way they are laid apart, on the other they are not; where no way leads to a reading line nothing is told."""
    ask = 'ask: {ask: Are they heavy?, ways: {"yes": part, "no": on}}'
    ring = "a: {do: act leave O1 and N1 on one ring}"
    assert at("on one ring") == told(ring, ask, "part: {do: put O1 aside}", ON)
    assert [] == told(ring, ask.replace('"no": on', '"no": part'), "part: {do: put O1 aside}", ON)
    assert [] == told(ON.replace("all-right", "a"), ring.replace("}", ", then: all-right}"))
    spent = (
        "a: {tries: 1, instruction: Leave O1 and N1 on one ring., do: look hood, ways: {done: all-right, fails: a, spent: on}}"
    )
    assert at("on one ring") == told(spent, ON)


BLOCK = """\
block: b
version: 1
title: Some block
given: {K: key, L: key}
exits: [taken]
steps: {one: {do: [%sturn K on], then: taken}}
"""


def test_blocks() -> None:
    """A block reads whatever key it is given; its own words are told in it."""
    call = "call: {follow: b 1, given: {K: N1, L: O1}, then: all-right}"
    assert at("on one ring", "turn K on") == told(
        "a: {do: act leave O1 and N1 on one ring}", call, blocks={"blocks/b.yaml": BLOCK % ""}
    )
    own = {"blocks/b.yaml": BLOCK % "act leave K and L on one ring, "}
    assert at("on one ring", "turn K on") == told(call, blocks=own)
    assert [] == told(call, blocks={"blocks/b.yaml": BLOCK % "act leave O1 and N1 on one ring, "})
