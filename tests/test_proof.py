"""How a job ends: what is left open, and what is known to work. All of it is common practice, no source."""

import pytest

from proclint import rules
from proclint.rule import rules_in
from proclint.testing import check, completed

RULES = {rule.id: rule for rule in rules_in(rules)}


def found(text: str, *names: str) -> list[tuple[str, str]]:
    """Give the rules and subjects of the results for a file, and of what is folded under them; the file is completed."""
    report = check({"example.yaml": completed("example.yaml", text)}, tuple(RULES[name] for name in names))
    assert () == report.own_faults
    assert () == report.not_checked
    return sorted((each.rule.id, result.subject) for each in report.results for result in (each.result, *each.also))


# What an ending leaves.


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        ("look hood", []),
        ("turn O1 on", ["ignition"]),
        ("[turn O1 on, turn O1 off]", []),
        ("[turn O1 on, open door-driver]", ["doors", "ignition"]),
        ("[turn O1 on, lower-window, turn O1 off]", ["window-driver"]),
        ("open-log", ["log"]),
    ],
)
def test_left_as_it_was_is_not_left_open(do: str, expected: list[str]) -> None:
    """What is as it was at the start, or was never touched, is not left open, whatever an ending needs; what was changed is."""
    begin = "start: {ignition: off, cylinder: O1, hood: open, doors: closed, window-driver: closed}\n"
    results = found(begin + f"steps:\n  only: {{do: {do}, then: all-right}}\n", "left-open-at-end")
    assert expected == [subject for _, subject in results]


def test_one_ending_left_open_is_one_cause() -> None:
    """What one ending leaves open is one result, the gravest, with the rest under it."""
    begin = "start: {ignition: off, cylinder: O1, hood: closed, tool: unplugged, doors: closed}\n"
    lines = "do: [plug tool, turn O1 on, open-hood, open door-driver, {do: open-session, expect: the menu opens}]"
    steps = f"steps:\n  only: {{{lines}, then: all-right, fails: all-right}}\n"
    report = check({"e.yaml": completed("e", begin + steps)}, (RULES["left-open-at-end"],))
    assert [("error", 4)] == [(each.level, len(each.also)) for each in report.results]


SESSION = "start: {ignition: on, cylinder: O1, tool: plugged, session: none}\n"


def test_session_that_wrote_nothing_ends_as_found() -> None:
    """A session that was opened and closed, and in which only counts were read, changes nothing."""
    steps = """\
steps:
  begin: {do: open-session, fails: given-up}
  count-them: {do: read key as n, ways: {n >= 1: close, otherwise: close, fails: close}}
  close: {do: close-session, then: given-up}
endings:
  all-right: {kind: success, tell: It works.}
  given-up: {kind: as-found, tell: Nothing was changed.}
"""
    assert [] == found(SESSION + steps, "ending-unsuitable-for-state", "left-open-at-end", "proof-only-on-success")


def test_job_that_began_without_a_key_may_end_without_one() -> None:
    """Where every key was lost before, an ending without a key is not this job's doing."""
    keys = "keys: {O: {kind: key, registered: true, here: 0, away: 1}, N: {kind: key, registered: false, here: 1}}\n"
    begin = "start: {ignition: on, cylinder: N1, tool: plugged, session: open}\n"
    steps = "steps:\n  clear: {do: erase keys, then: lost, fails: lost}\n"
    steps += "endings:\n  lost: {kind: not-as-found, tell: A tow is arranged.}\n"
    assert [] == found(keys + begin + steps, "ends-without-working-key")


def test_on_board_asks_for_no_session() -> None:
    """On board there is no session, so none is asked to be closed, and what was never read is not asked for."""
    text = "method: on-board\nstart: {ignition: off, cylinder: O1, hood: closed}\n"
    text += "steps:\n  only: {do: [turn O1 on, turn O1 off], then: all-right}\n"
    assert [] == found(text, "left-open-at-end", "key-count-not-read-back")


LEARN = """\
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1, head: plain}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open, doors: closed}
steps:
  learn-it: {do: learn N1, fails: not-sure}
  leave: {do: [close-session, turn N1 off, remove N1]}
  arm: {do: wait-rearm, fails: not-sure}
  put-in: {do: insert O1}
  try-it: {do: start O1, ways: {runs: all-right, otherwise: OTHER}}
endings:
  all-right: {kind: success, tell: It works.}
  not-sure: {kind: not-as-found, tell: It may not work.}
"""


@pytest.mark.parametrize(("other", "expected"), [("not-sure", []), ("all-right", ["original-key-not-verified"])])
def test_original_that_fails_is_no_success(other: str, expected: list[str]) -> None:
    """An original that was tried and did not start is no proof, whatever the ending is called."""
    results = found(LEARN.replace("OTHER", other), "original-key-not-verified", "ending-unsuitable-for-state")
    assert expected == [rule for rule, _ in results]


def test_test_before_the_last_change_is_no_proof() -> None:
    """A learn after the tests makes them void."""
    text = LEARN.replace("OTHER", "not-sure").replace("{runs: all-right", "{runs: more")
    more = "  more: {do: [turn O1 off, turn O1 on, open-session, learn O1], then: all-right, fails: not-sure}\nendings:"
    results = found(text.replace("endings:", more), "original-key-not-verified", "proof-only-on-success")
    assert ["original-key-not-verified", "proof-only-on-success"] == [rule for rule, _ in results]


def test_what_a_line_was_given_is_not_left_open() -> None:
    """What is only taken to be so because a line needed it is told at the line, and not at the ending too."""
    begin = "start: {ignition: off, cylinder: O1, hood: closed, window-driver: open}\n"
    window = "steps:\n  only: {do: raise-window, then: all-right}\n"
    assert ["precondition-not-met"] == [rule for rule, _ in found(begin + window, "left-open-at-end", "precondition-not-met")]
