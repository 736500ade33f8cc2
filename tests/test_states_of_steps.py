"""What steps add to their lines: rounds, cautions, keys that are missing, windows that run out, and the blocks before endings."""

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.analysis.states.findings import Finding
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.testing import ON, completed

ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}\n"
# `turn O1 off` is idle from the start: where somebody comes to it, that is found.
IDLE = "turn O1 off: ignition off"
TWO_NEW = "keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, cut: true, here: 2}}\n"


def flow_of(text: str) -> Flow:
    """Read a procedure or block, completed where it says too little."""
    more = "" if text.startswith("block:") or "endings:" in text else ENDINGS
    found = study_file("example.yaml", completed("example.yaml", text + more).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    assert found.is_sound, found.faults
    return found.flow


def broken(text: str, *blocks: str) -> tuple[Finding, ...]:
    """Give what does not hold in a procedure, or a block that is run alone."""
    flows = (flow_of(text), *map(flow_of, blocks))
    shelf = Shelf({each.id: each for each in flows if isinstance(each, Block)}, standard())
    return Study(flows[0], shelf, ON, Limits()).states.broken


def found(text: str, *blocks: str) -> list[str]:
    """Give the lines that cannot be done as things are stated, each with what is in the way."""
    needs = [
        each for each in broken(text, *blocks) if each.demand.line >= 0 and not each.demand.hazard and each.grade != "unstated"
    ]
    return sorted(f"{each.demand.text}: {each.demand.variable} {' '.join(each.found)}" for each in needs)


def unwarned(text: str) -> list[str]:
    """Give the hazards of which nobody is warned, each with the step."""
    return sorted(f"{each.demand.hazard} at {each.station.of.name}" for each in broken(text) if each.demand.hazard)


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        ("[lower-window, open-session]", ["lower-window: ignition off"]),
        ("[turn O1 accessory, lower-window, open-session]", ["open-session: ignition accessory"]),
        # What a line between has set is not what would be mended.
        ("[lower-window, turn O1 accessory, open-session]", ["lower-window: ignition off", "open-session: ignition accessory"]),
        ("[lower-window, turn O1 on, open-session]", ["lower-window: ignition off"]),
    ],
)
def test_what_follows_from_what_was_wrong_before(do: str, expected: list[str]) -> None:
    """A line is told that fails as things are then; one that may fail only because an earlier was taken as mended is not."""
    text = "start: {ignition: off, cylinder: O1, tool: plugged}\nsteps: {a: {do: %s, then: all-right, fails: gone}}\n"
    assert expected == found(text % do)


def test_what_follows_in_a_later_step() -> None:
    """So it is where the earlier line stands in a step before."""
    text = "start: {ignition: off, cylinder: O1, tool: plugged}\nsteps:\n  a: {do: lower-window}\n"
    assert ["lower-window: ignition off"] == found(text + "  b: {do: open-session, then: all-right, fails: gone}\n")


@pytest.mark.parametrize(("times", "expected"), [("", []), ("repeat: 2, ", [IDLE])])
def test_rounds_of_a_line(times: str, expected: list[str]) -> None:
    """A line that is done twice in a row meets in the second round what the first has made."""
    line = f"{{do: turn O1 off, {times}takes: 1-2-3 s}}"
    assert expected == found(f"start: {{ignition: on, cylinder: O1}}\nsteps: {{a: {{do: [{line}], then: all-right}}}}\n")


@pytest.mark.parametrize(("here", "expected"), [("0-1", ["insert X: cylinder N1"]), ("1", ["insert X: cylinder N1"]), ("0", [])])
def test_rounds_over_keys(here: str, expected: list[str]) -> None:
    """Each key that may be here has its round; what one round leaves behind the next one meets."""
    new, old = "kind: key, registered: false, cut: true, here: 1", f"kind: key, registered: true, here: {here}, away: 1"
    keys = f"keys: {{N: {{{new}}}, O: {{{old}}}}}\n"
    text = keys + "start: {ignition: off, cylinder: empty}\nsteps: {a: {for-each: {X: [N, O]}, do: insert X, then: all-right}}\n"
    assert expected == found(text)


@pytest.mark.parametrize(("caution", "expected"), [("", ["moving-parts-hood at a"]), ("caution: [moving-parts-hood], ", [])])
def test_a_caution_holds_for_all_rounds(caution: str, expected: list[str]) -> None:
    """A caution at a loop is shown for each round, also one that has to be met again each time."""
    text = f"start: {{hood: open}}\nsteps: {{a: {{{caution}repeat: 3, do: [close-hood, open-hood], then: all-right}}}}\n"
    assert expected == [each for each in unwarned(text) if each.startswith("moving-parts-hood")]


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        ("[insert N1, put N.missing aside]", ["put N.missing aside: N1.place cylinder"]),
        ("[insert N2, put N.missing aside]", []),
        ("[put N.missing aside, insert N1]", []),
    ],
)
def test_the_key_that_is_missing(do: str, expected: list[str]) -> None:
    """The missing key of a group is the first that is not registered, the same one in all lines of a step."""
    text = TWO_NEW + f"start: {{ignition: off, cylinder: empty}}\nsteps: {{a: {{do: {do}, then: all-right}}}}\n"
    assert expected == found(text)


@pytest.mark.parametrize(("key", "expected"), [("N1", ["put N.missing aside: N1.place cylinder"]), ("N2", [])])
def test_the_missing_key_where_all_are_registered(key: str, expected: list[str]) -> None:
    """Where all keys are registered and none is proved to start, the first is the one that is meant."""
    keys = TWO_NEW.replace("registered: false", "registered: true")
    steps = f"steps: {{a: {{do: [insert {key}, put N.missing aside], then: all-right}}}}\n"
    assert expected == found(f"{keys}start: {{ignition: off, cylinder: empty}}\n{steps}")


@pytest.mark.parametrize(("late", "expected"), [("late: lost, ", [IDLE]), ("", [])])
def test_a_window_that_runs_out(late: str, expected: list[str]) -> None:
    """While a window is open somebody may come to where its overrun leads, with what was done so far."""
    text = f"""\
start: {{ignition: off, cylinder: O1}}
windows: {{press: {{{late}at-most: 9 s}}}}
steps:
  a: {{do: [turn O1 on, turn O1 off, {{do: push brake, opens: press}}]}}
  b: {{do: [{{do: let-up brake, closes: press}}], then: all-right, fails: gone}}
fallbacks: {{lost: {{do: turn O1 off, then: gone}}}}
"""
    assert expected == found(text)


def test_nobody_is_late_before_the_window_opens() -> None:
    """Before its first line a window is not open: what that line makes holds for who comes late."""
    text = """\
start: {ignition: off, cylinder: O1}
windows: {press: {late: lost, at-most: 9 s}}
steps:
  a: {do: [{do: turn O1 on, opens: press}]}
  b: {do: [{do: push brake, closes: press}], then: all-right}
fallbacks: {lost: {do: turn O1 off, then: gone}}
"""
    assert [] == found(text)


def test_a_count_that_nobody_read() -> None:
    """On a count that nobody read no way is closed."""
    ways = "steps:\n  a: {ways: {n >= 1: b, otherwise: c}}\n"
    text = ways + "  b: {do: turn O1 off, then: all-right}\n  c: {do: unplug tool, then: all-right}\n"
    assert [IDLE, "unplug tool: tool unplugged"] == found(text)


WASH = "block: wash\nexits: [ended]\nsteps: {a: {do: open tailgate, then: ended}}\n"


@pytest.mark.parametrize(("tailgate", "expected"), [("closed", []), ("open", ["open tailgate: tailgate open"])])
def test_the_block_before_an_ending(tailgate: str, expected: list[str]) -> None:
    """Every way to an ending runs its block first; what cannot be done there is told."""
    text = f"""\
start: {{tailgate: {tailgate}, locks: unlocked}}
steps: {{a: {{do: look hood, then: all-right, fails: all-right}}}}
endings: {{all-right: {{kind: success, through: wash 1, tell: It works.}}}}
"""
    assert expected == found(text, WASH)


def test_a_group_where_a_key_is_wanted() -> None:
    """The letter of a group is each of its keys that are here, one after the other."""
    text = "keys: {O: {kind: key, registered: true, here: 2}}\nstart: {ignition: off, cylinder: empty}\n"
    assert ["put O pouch: O1.place cylinder"] == found(text + "steps: {a: {do: [insert O1, put O pouch], then: all-right}}\n")
    assert ["insert O: cylinder O1"] == found(text + "steps: {a: {do: [insert O], then: all-right}}\n")


def test_a_way_to_nowhere_ends_there() -> None:
    """A way to what is not there is not followed; the others are."""
    look = "steps:\n  a: {do: look hood, ways: {open: lost, otherwise: b, fails: gone}}\n"
    assert [IDLE] == found(look + "  b: {do: turn O1 off, then: all-right}\n")
    assert [] == found(look.replace("otherwise: b", "otherwise: all-right") + "  b: {do: turn O1 off, then: all-right}\n")


def test_what_follows_a_block_that_is_not_there_is_not_run() -> None:
    """Nobody knows how things stand behind a block that is missing, or that follows itself, and nothing is claimed."""
    text = "steps:\n  a: {follow: wash 1}\n  b: {do: turn O1 off, then: all-right}\n"
    ring = "block: wash\nexits: [ended]\nsteps: {a: {follow: wash 1, then: ended}}\n"
    assert ([], []) == (found(text), found(text, ring))
    assert [IDLE] == found(text, WASH)


def test_many_groups_of_unknown_size() -> None:
    """With too many numbers of keys to take all apart, what is wrong with any of them is found all the same."""
    groups = ", ".join(f"{letter}: {{kind: key, registered: true, here: 1-4, away: 0-2}}" for letter in "OPQR")
    assert [IDLE] == found(f"keys: {{{groups}}}\nsteps: {{a: {{do: turn O1 off, then: all-right}}}}\n")


@pytest.mark.parametrize("kinds", [("keyed",), ("keyed", "twist-knob")])
def test_made_sure_of_on_vehicles_of_several_kinds(kinds: tuple[str, ...]) -> None:
    """How a value is reached may hang on the vehicle; it is reached on each."""
    models = [
        f"{{make: Corvane, model: Halyard, years: {year}-{year}, markets: [region-1], ignition-kind: {kind}}}"
        for year, kind in enumerate(kinds, 2013)
    ]
    head = f"vehicles: [{', '.join(models)}]\nstart: {{ignition: on, cylinder: O1}}\n"
    assert [IDLE] == found(head + "steps: {a: {do: [make-sure ignition off, turn O1 off], then: all-right}}\n")


@pytest.mark.parametrize(("least", "expected"), [(0, ["plug tool: tool plugged"]), (1, ["plug tool: tool plugged"]), (2, [])])
def test_a_count_that_goes_up_in_the_step_that_asks_for_it(least: int, expected: list[str]) -> None:
    """A condition on a count asks for it as the lines of its step leave it."""
    text = f"""\
start: {{ignition: on, cylinder: O1, tool: plugged, session: open}}
steps:
  a: {{do: wait-access O1, ways: {{waits-done >= {least}: b, otherwise: all-right, fails: gone}}}}
  b: {{do: plug tool, then: all-right}}
"""
    assert expected == found(text)


@pytest.mark.parametrize(("here", "expected"), [("here: 1", ["unplug tool: tool unplugged"]), ("here: 0, away: 1", [])])
def test_nothing_is_made_sure_of_without_a_key(here: str, expected: list[str]) -> None:
    """Where no key is here that could switch on, nobody comes past the line that makes sure of it."""
    keys = f"keys: {{O: {{kind: key, registered: true, {here}}}}}\nstart: {{ignition: off, cylinder: empty}}\n"
    assert expected == found(keys + "steps: {a: {do: [make-sure ignition on, unplug tool], then: all-right}}\n")
