"""Lines that set what is so already: on every way, or on one of two that meet."""

import pytest

from proclint import rules
from proclint.rule import rules_in
from proclint.testing import check, completed

RULES = tuple(rule for rule in rules_in(rules) if rule.id in ("turn-to-current-state", "state-differs-by-way"))
ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}\n"
BLOCK = "block: switch\nversion: 1\ntitle: Switch on\ngiven: {K: key}\nexits: [on]\nsteps: {turn: {do: turn K on, then: on}}\n"


def found(text: str, **blocks: str) -> list[tuple[str, str]]:
    """Give the rule and the message of each result for a file; it is completed."""
    report = check({"example.yaml": completed("example.yaml", text + ENDINGS), **blocks}, RULES)
    assert () == report.own_faults
    return [(each.rule.id, each.result.message) for each in report.results]


@pytest.mark.parametrize(
    ("steps", "expected"),
    [
        ("a: {do: [turn O1 on, turn O1 off], then: all-right}", []),
        ("a: {repeat: 3, do: [turn O1 on, turn O1 off], then: all-right}", []),
        ("a: {do: turn O1 off, then: all-right}", ["'turn O1 off' changes nothing: 'ignition' is off already."]),
        (
            "a: {do: plug tool}\n  b: {do: plug tool, then: all-right}",
            ["'plug tool' changes nothing: 'tool' is plugged already."],
        ),
        (
            "a: {do: look ignition}\n  b: {do: turn O1 off, then: all-right}",
            ["'turn O1 off' may change nothing: 'ignition' may be so already."],
        ),
        ("a: {do: close-hood, then: all-right}", []),
    ],
)
def test_set_already_on_every_way(steps: str, expected: list[str]) -> None:
    """What is so already is found, what is switched to and fro is not, and what was never stated is not either."""
    given = found(f"start: {{ignition: off, cylinder: O1}}\nsteps:\n  {steps}\n")
    assert [("turn-to-current-state", message) for message in expected] == given


TWO_WAYS = """\
steps:
  ready: {do: plug tool}
  switch-on: {do: turn O1 on}
  open: {do: open-session, then: all-right, fails: again}
fallbacks:
  again: {tries: 1, do: [unplug tool, wait 5 s, plug tool], ways: {done: switch-on, spent: gone}}
"""


def test_fits_one_way_only() -> None:
    """A line that fits the first of two ways and not the second names the last steps in which they differ."""
    assert [("state-differs-by-way", "'turn O1 on' fits only after 'ready', not after 'again'.")] == found(TWO_WAYS)


def test_ways_that_end_alike() -> None:
    """What two ways share before the line is left out of their names."""
    text = TWO_WAYS.replace("  switch-on:", "  rest: {do: wait 5 s}\n  switch-on:").replace("done: switch-on", "done: rest")
    assert [("state-differs-by-way", "'turn O1 on' fits only after 'ready', not after 'again'.")] == found(text)


def test_way_from_the_beginning() -> None:
    """A way that comes straight from the beginning has no step to name."""
    text = TWO_WAYS.replace("  ready: {do: plug tool}\n", "").replace(
        "steps:", "start: {ignition: off, cylinder: O1, tool: plugged}\nsteps:"
    )
    assert [("state-differs-by-way", "'turn O1 on' fits only at the beginning, not after 'again'.")] == found(text)


def test_outcomes_of_one_step() -> None:
    """Two ways out of one step are told by its outcomes."""
    text = "steps:\n  a: {do: {do: turn O1 on, expect: the lamps light}, fails: b}\n  b: {do: turn O1 off, then: all-right}\n"
    assert [("state-differs-by-way", "'turn O1 off' fits only after 'a' (done), not after 'a' (fails).")] == found(text)


def test_line_of_a_block() -> None:
    """A line of a block that is followed twice fits at the first call, and is told at the second."""
    text = "steps:\n  one: {follow: switch 1, given: {K: O1}}\n  two: {follow: switch 1, given: {K: O1}, then: all-right}\n"
    given = found(text, **{"blocks/switch.yaml": BLOCK})
    assert [("turn-to-current-state", "'turn K on' changes nothing: 'ignition' is on already.")] == given
