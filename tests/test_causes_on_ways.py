"""What a vehicle, its keys and its people are on a way, and that one cause there is one result. Common practice, no source."""

import pytest

from proclint import rules
from proclint.rule import rules_in
from proclint.testing import check, completed

RULES = {rule.id: rule for rule in rules_in(rules)}
COLUMNS = "make,model,years,build,markets,ignition-kind,gearbox,high-voltage,variant,method,tell,on,note"
ENDINGS = """\
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
  not-sure: {kind: not-as-found, tell: It may not work.}
"""
PUSH = "vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}]\n"
OPEN = "start: {ignition: on, cylinder: N1, tool: plugged, session: open}\n"


def found(text: str, *names: str, facts: str = "") -> list[tuple[str, str]]:
    """Give the rule and message of each result; `facts` are a column of a table and its cell."""
    files = {"example.yaml": completed("example.yaml", text + ENDINGS)}
    if facts:
        heads, _, cells = facts.partition("=")
        files["facts/book.csv"] = f"{COLUMNS},{heads}\nCorvane,Halyard,2013-2017,,region-1,,,,,,,,,{cells}\n"
    report = check(files, tuple(RULES[name] for name in names))
    assert () == report.own_faults
    assert () == report.not_checked
    return [(each.rule.id, each.result.message) for each in report.results]


def test_what_was_taken_as_mended_is_not_told_again() -> None:
    """A fob that is near at a learn is told there; that it was taken as gone from then on makes no second result."""
    keys = "keys: {O: {kind: fob, registered: true, here: 1}, N: {kind: fob, registered: false, here: 1}}\n"
    start = "start: {ignition: on, engine: stopped, tool: plugged, session: open, hood: closed}\n"
    steps = """\
steps:
  near: {do: [put O1 pocket, put N1 backup]}
  learn-it: {do: learn N1, fails: not-sure}
  leave: {do: [close-session, press START]}
  try-it: {do: start O1, ways: {runs: all-right, otherwise: not-sure}}
"""
    results = found(PUSH + keys + start + steps, "other-fob-in-range", "precondition-not-met")
    assert ["other-fob-in-range"] == [rule for rule, _ in results]


@pytest.mark.parametrize(("line", "expected"), [("erase L1", ["ending-unsuitable-for-state"]), ("read key as n", [])])
def test_lost_key_that_is_erased_is_a_change(line: str, expected: list[str]) -> None:
    """A key that is not here is erased as one that is: after it nothing is as it was found."""
    keys = "keys: {O: {kind: key, registered: true, here: 1}, L: {kind: key, registered: true, here: 0, away: 1}}\n"
    start = "start: {ignition: on, cylinder: O1, tool: plugged, session: open}\n"
    steps = f"steps: {{only: {{do: {line}, then: as-it-was, fails: not-sure}}}}\n"
    assert expected == [rule for rule, _ in found(keys + start + steps, "ending-unsuitable-for-state")]


@pytest.mark.parametrize(("inside", "expected"), [("child-or-animal", ["hazard-without-caution"]), ("nobody", [])])
def test_who_gets_out_leaves_a_child_inside(inside: str, expected: list[str]) -> None:
    """That the technician sat in and got out again says nothing of a child on the rear seat."""
    start = f"start: {{ignition: off, cylinder: empty, inside: {inside}}}\n"
    steps = "steps: {walk: {do: [sit-in, get-out, press central-lock], then: all-right}}\n"
    messages = found(start + steps, "hazard-without-caution")
    assert expected == [rule for rule, message in messages if "child" in message]


def test_caution_on_the_way_of_a_retry_stands_on_another_way() -> None:
    """A caution that is met only before the second try is told as standing on another way, and not as standing nowhere."""
    steps = """\
steps:
  clear: {do: erase keys, then: all-right, fails: again}
fallbacks:
  again:
    tries: 1
    caution: [keys-erased-absent]
    do: [make-sure ignition off, wait 30 s, turn N1 on, open-session]
    ways: {done: clear, fails: not-sure, spent: not-sure}
"""
    results = found(OPEN + steps, "caution-on-one-branch", "hazard-without-caution")
    assert "caution-on-one-branch" in [rule for rule, message in results if "erasing stops" in message]
    assert "hazard-without-caution" not in [rule for rule, message in results if "erasing stops" in message]


def test_line_that_is_left_out_twice_is_told_once() -> None:
    """A text that leaves out a line which its step has twice gives one result."""
    steps = (
        "steps: {turns: {instruction: Turn O1 on., do: [turn O1 on, turn O1 off, turn O1 on, turn O1 off], then: all-right}}\n"
    )
    results = found("start: {ignition: off, cylinder: O1}\n" + steps, "instruction-contradicts-action")
    assert ["The text leaves out 'turn O1 off', so nobody does it."] == [message for _, message in results]


WAIT = "{do: {do: wait-access N1, expect: the lamp goes out, within: 20 s}, fails: as-it-was"
WAITS = f"""\
steps:
  wait: {WAIT}}}
GAP
  learn-it: {{do: learn N1, then: all-right, fails: not-sure}}
"""


@pytest.mark.parametrize(
    ("between", "expected"),
    [
        ("", ["protected-write-without-access"]),
        (f"  wait-more: {WAIT}}}", []),
        (
            f"  look-out: {{do: open door-driver}}\n  wait-more: {WAIT}}}",
            ["protected-write-without-access", "step-breaks-running-wait"],
        ),
    ],
)
def test_both_waits_give_access(between: str, expected: list[str]) -> None:
    """A vehicle that wants two waits gives access after the second one, if nothing set it back between them."""
    start = "start: {ignition: on, cylinder: N1, tool: plugged, session: open, door-driver: closed, locks: unlocked}\n"
    names = ("protected-write-without-access", "step-breaks-running-wait")
    facts = "security-wait,security-wait-count,wait-resets-on=420,2,door|plug"
    results = found(start + WAITS.replace("GAP\n", f"{between}\n"), *names, facts=facts)
    assert expected == sorted(rule for rule, _ in results)


@pytest.mark.parametrize(("most", "expected"), [("w = 0", []), ("w <= 1", ["attempts-reach-lockout"])])
def test_codes_tried_before_count(most: str, expected: list[str]) -> None:
    """What was read of wrong codes is what the vehicle counts on from: two more after none stay under a limit of three."""
    steps = f"""\
steps:
  earlier: {{do: read wrong-codes as w, ways: {{{most}: enter, otherwise: as-it-was, locked: as-it-was, fails: as-it-was}}}}
  enter: {{do: enter-code 5 digits, then: all-right, fails: again}}
fallbacks:
  again: {{tries: 1, do: wait 30 s, ways: {{done: enter, spent: as-it-was}}}}
"""
    results = found(OPEN + steps, "attempts-reach-lockout", facts="code,code-tries-to-lockout=required,3")
    assert expected == [rule for rule, _ in results]


def test_key_in_the_cylinder_is_named() -> None:
    """What `make-sure` does with the key that is in the cylinder names that key, and no place in a table of ours."""
    steps = "steps: {out: {do: make-sure cylinder empty, then: all-right}}\n"
    box = "make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, gearbox: [automatic]"
    results = found(f"vehicles: [{{{box}}}]\nstart: {{ignition: off, cylinder: O1}}\n" + steps, "starts-from-unstated-state")
    assert results
    assert [] == [message for _, message in results if "{" in message or "'remove O1'" not in message]
