"""What follows from a fault of the step graph stands under it, also across files."""

from pathlib import Path
from textwrap import dedent

import pytest

from proclint.apps.rule_set import known_rules
from proclint.engine import Reported
from proclint.testing import WHOLE_JOB, check, completed

CALLER = """\
steps:
  try-it: {follow: show 1, ways: {shown: all-right, gone: not-seen}}
endings:
  all-right: {kind: success, tell: It works.}
  not-seen: {kind: as-found, tell: Nothing was changed.}
"""
SHORT = CALLER.replace("ways: {shown: all-right, gone: not-seen}", "then: all-right, fails: not-seen")
SHOW = """\
block: show
version: 1
title: Show a key
exits: [shown, gone]
steps: {hold: {do: look hood, ways: {open: shown, closed: gone}}}
"""


def told(**files: str) -> list[tuple[str, str, str, int]]:
    """Check files named without their ending; give file, rule, subject of each result and how many stand under it."""
    named = {f"{name}.yaml": text if text.startswith("block:") else f"id: {name}\n{text}" for name, text in files.items()}
    whole = {name: completed(name, text) for name, text in named.items()}
    rules = tuple(rule for rule in known_rules() if rule.group not in WHOLE_JOB)
    found = sorted(check(whole, rules).results, key=lambda each: (each.result.at.file, each.rule.id))
    return [(Path(each.result.at.file).stem, each.rule.id, each.result.subject, len(each.also)) for each in found]


def test_nothing_is_wrong_to_begin_with() -> None:
    """The files that these tests change are well."""
    assert [] == told(one=CALLER, two=SHORT, show=SHOW)


@pytest.mark.parametrize(("one", "under"), [(CALLER, 4), (SHORT, 2)])
def test_an_exit_that_a_block_no_longer_names(one: str, under: int) -> None:
    """Where a block leads to what is no exit any more, all that its callers miss stands under its own error."""
    block = SHOW.replace("exits: [shown, gone]", "exits: [shown]")
    assert [("show", "way-to-nowhere", "gone", under)] == told(one=one, two=one, show=block)


def test_an_exit_that_a_block_gave_up() -> None:
    """Where a block has neither the exit nor a way to it, the first caller that waits for it bears what the others say."""
    block = SHOW.replace("exits: [shown, gone]", "exits: [shown]").replace("closed: gone", "closed: shown")
    assert [("one", "unknown-outcome", "gone", 3)] == told(one=CALLER, two=CALLER, show=block)
    assert [("one", "unreachable-step", "not-seen", 1)] == told(one=SHORT, two=SHORT, show=block)


def test_a_way_to_somewhere_else_explains_nothing() -> None:
    """A way in a block that leads to another missing name is not why an exit is not there."""
    block = SHOW.replace("exits: [shown, gone]", "exits: [shown]").replace("closed: gone", "closed: elsewhere")
    expected = [("one", "unknown-outcome", "gone", 1), ("show", "way-to-nowhere", "elsewhere", 0)]
    assert expected == told(one=CALLER, show=block)


def test_an_exit_of_another_name_is_the_callers_own_slip() -> None:
    """A way whose name is only like an exit is told where it stands, for each caller."""
    slip = CALLER.replace("gone:", "gon:")
    assert [("one", "unknown-outcome", "gon", 2), ("two", "unknown-outcome", "gon", 2)] == told(one=slip, two=slip, show=SHOW)


def test_exits_of_another_version() -> None:
    """Of a block that is there in another version, the exits may be others too: that is the one thing told."""
    block = SHOW.replace("version: 1", "version: 2").replace("gone", "lost")
    assert [("one", "block-not-found", "show", 3)] == told(one=CALLER, show=block)


def test_an_exit_to_which_nothing_leads() -> None:
    """Where a block never comes to one of its exits, what its callers have for that stands under the block's own result."""
    block = SHOW.replace("closed: gone", "closed: shown")
    assert [("show", "unreachable-step", "gone", 2)] == told(one=CALLER, two=SHORT, show=block)


def test_an_exit_whose_way_is_misspelt_in_the_block() -> None:
    """What is explained inside a block explains its callers too: one result, where the way is misspelt."""
    block = SHOW.replace("closed: gone", "closed: gnoe")
    assert [("show", "way-to-nowhere", "gnoe", 2)] == told(one=CALLER, show=block)


def test_a_call_to_which_nothing_leads() -> None:
    """Where the call itself is never reached, the block is not to blame for what hangs on it."""
    lone = CALLER.replace("steps:", "steps:\n  look-on: {do: look hood, then: all-right}").replace(
        "shown: all-right, ", "shown: not-seen, "
    )
    assert [("one", "unreachable-step", "try-it", 0)] == told(one=lone, show=SHOW)


def test_an_exit_that_one_of_two_calls_still_takes() -> None:
    """What another call still leads to is reached, and nothing is told of it."""
    block = SHOW.replace("closed: gone", "closed: shown")
    both = CALLER.replace("steps:", "steps:\n  look-on: {do: look hood, ways: {open: try-it, closed: not-seen}}")
    assert [("show", "unreachable-step", "gone", 0)] == told(one=both, show=block)


def test_a_fallback_that_no_block_was_to_lead_to() -> None:
    """A fallback for which no step and no exit of a block has a way stands alone, though a block is followed."""
    spare = CALLER.replace("endings:", "fallbacks:\n  spare: {do: look hood, then: not-seen}\nendings:")
    assert [("one", "unreachable-step", "spare", 0)] == told(one=spare, show=SHOW)


def test_one_name_missing_twice() -> None:
    """Two ways and a window's late way to one step that is not there are one result."""
    steps = """\
    windows: {press: {at-most: 9 s, late: lost}}
    steps:
      begin: {do: {do: open-session, opens: press}, fails: lost}
      go-on: {do: {do: learn O1, closes: press}, then: all-right, fails: lost}
    """
    found = told(one=dedent(steps))
    assert ("one", "way-to-nowhere", "lost", 2) in found
    assert 1 == len([each for each in found if each[1] == "way-to-nowhere"])


def test_a_late_way_alone_to_nowhere() -> None:
    """A window's late way to a step that is not there is told where no other way leads there."""
    steps = """\
    windows: {press: {at-most: 9 s, late: lost}}
    steps:
      begin: {do: {do: turn O1 on, opens: press}}
      go-on: {do: {do: turn O1 off, closes: press}, then: all-right}
    """
    assert ("one", "way-to-nowhere", "lost", 0) in told(one=dedent(steps))


def test_a_trap_whose_way_out_leads_nowhere() -> None:
    """Steps that lead on only to what is not there stand under the way that does."""
    steps = """\
    steps:
      look-on: {do: look hood, ways: {open: all-right, closed: stand}}
    fallbacks:
      stand: {do: wait 1 s, then: lost}
    """
    assert [("one", "way-to-nowhere", "lost", 1)] == told(one=dedent(steps))


def of_rule(rule: str, steps: str) -> list[Reported]:
    """Check a procedure; give the results of one rule, whether they stand alone or have others under them."""
    report = check(
        {"one.yaml": completed("one.yaml", dedent(steps))}, tuple(rule for rule in known_rules() if rule.group not in WHOLE_JOB)
    )
    return [each for each in report.results if each.rule.id == rule]


ENDINGS = """\
    endings:
      all-right: {kind: success, tell: It works.}
      not-learned: {kind: as-found, tell: Nothing was changed.}
"""


def test_the_only_way_forgotten_is_why_an_ending_is_never_reached() -> None:
    """Where one step lacks its failing way and one ending is never reached, the one explains the other."""
    steps = "    steps: {open: {do: learn O1, then: all-right}}\n" + ENDINGS
    assert [1] == [len(each.also) for each in of_rule("no-way-when-it-fails", steps)]
    assert [] == of_rule("unreachable-step", steps)


TWO = """\
    steps:
      open: {do: open-session}
      go-on: {do: learn O1, then: all-right}
    fallbacks:
      again: {tries: 1, do: wait 30 s, ways: {done: open, spent: not-learned}}
"""


def test_a_fallback_that_goes_back_to_the_step_with_the_way_forgotten() -> None:
    """Of two steps that lack their failing way, that to which the fallback goes back is the one it was written for."""
    steps = TWO + ENDINGS
    under = {each.result.subject: len(each.also) for each in of_rule("no-way-when-it-fails", steps)}
    assert {"open": 1, "go-on": 0} == under
    assert [] == of_rule("unreachable-step", steps)


def test_a_fallback_that_could_belong_to_two_steps_stands_alone() -> None:
    """Where it is not plain which way was forgotten, what is never reached is told by itself."""
    steps = TWO.replace("done: open", "done: all-right") + ENDINGS
    assert [0, 0] == [len(each.also) for each in of_rule("no-way-when-it-fails", steps)]
    assert ["again"] == [each.result.subject for each in of_rule("unreachable-step", steps)]
