"""What looks wrong and is right gives nothing; beside each stands what is wrong and tells. Common practice, no source."""

from typing import NamedTuple

import pytest

from proclint import rules
from proclint.results import Level
from proclint.rule import rules_in
from proclint.testing import check, completed

RULES = {rule.id: rule for rule in rules_in(rules)}
SOURCES = """\
sources:
  - {id: book, kind: handbook-or-bulletin, title: A book, date: 2012-01-01,
     covers: {make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1]}}
"""
COLUMNS = "make,model,years,build,markets,ignition-kind,gearbox,high-voltage,variant,method,tell,on,note"
ENDINGS = """\
endings:
  all-right: {kind: success, tell: It works.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
  not-sure: {kind: not-as-found, tell: It may not work.}
"""
OPEN = "start: {ignition: on, cylinder: N1, tool: plugged, session: open}\n"
VEHICLE = "vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: KIND, MORE}]\n"


class Trap(NamedTuple):
    """What is asked, a text with a gap for what differs, what is right there and what is wrong; a fact that goes with each."""

    asked: str
    text: str
    right: str
    wrong: str
    fact: str = ""


def found(trap: Trap, filling: str) -> list[str]:
    """Give the results of the rule that is asked, by their subject, for a text with its gap filled."""
    rule, _, subject = trap.asked.partition(": ")
    text = trap.text if trap.fact else trap.text.replace("GAP", filling)
    files = {"example.yaml": completed("example.yaml", text + ("" if "endings:" in text else ENDINGS))}
    if trap.fact:
        row = "Corvane,Halyard,2013-2017,,region-1,,,,,,,,"
        files |= {"sources.yaml": SOURCES, "facts/book.csv": f"{COLUMNS},{trap.fact}\n{row},{filling}\n"}
    report = check(files, (RULES[rule],))
    assert () == report.own_faults
    assert () == report.not_checked
    return [each.result.subject for each in report.results if not subject or each.result.subject == subject]


ERASED = """\
keys: {O: {kind: key, registered: true, here: 2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open, door-driver: closed, hood: closed}
steps:
  clear: {do: erase O2, fails: not-sure}
  leave: {do: [close-session, turn O1 off, remove O1]}
  arm: {do: wait-rearm, fails: not-sure}
GAP
"""
DEAD = "  dead: {do: [insert O2, {do: start O2, expect: does not start}], then: all-right, fails: not-sure}"
SECOND = """\
keys: {O: {kind: key, registered: true, here: 2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: none}
steps:
  open: {do: open-session, then: all-right, fails: again}
fallbacks:
  again: {tries: 1, do: GAP, ways: {done: open, spent: as-it-was}}
"""
ROUNDS = """\
keys: {O: {kind: key, registered: true, here: 1-4}}
start: {ignition: off, cylinder: empty}
steps:
  each: {GAP}
"""
SESSION = """\
start: {ignition: on, cylinder: N1, tool: plugged, session: none}
steps:
  begin: {do: open-session, fails: as-it-was}
  middle: {do: GAP, fails: close}
  close: {do: close-session, then: as-it-was}
"""
REFUSED = """\
start: {ignition: off, cylinder: N1, tool: plugged, hood: open, support: none}
steps:
  right: {follow: authority 3, fails: GAP}
  clip: {do: connect-support 13.5 V, fails: as-it-was}
  begin: {do: [turn N1 on, open-session], fails: as-it-was}
  learn-it: {do: learn N1, then: all-right, fails: not-sure}
"""
LEARN = OPEN + "steps:\n  learn-it: {do: learn N1, then: all-right, fails: not-sure}\n"
ABA = """\
keys: {O: {kind: key, registered: true, here: 1}, N: {kind: fob, registered: false, here: 2}}
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  one: {do: learn N1, then: two, fails: not-sure}
  two: {do: learn N2, then: three, fails: GAP}
  three: {do: learn N1, then: all-right, fails: not-sure}
  four: {do: learn N2, then: all-right, fails: not-sure}
"""
WARNED = "block: warn\nversion: 1\ntitle: Warn\nexits: [warned]\nsteps: {tell: {GAPdo: look hood, then: warned}}\n"
LOST = """\
keys: {O: {kind: key, registered: true, here: GAP, away: 1}, N: {kind: key, registered: false, here: 1}}
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps: {clear: {do: erase keys, then: gone, fails: gone}}
endings: {gone: {kind: referred, tell: A tow is arranged.}}
"""
TIMED = """\
start: {ignition: off, cylinder: O1, hood: open, support: connected}
windows: {movements: {at-most: 60 s, late: as-it-was}}
steps:
  ready: {GAPdo: tap tool}
  move: {do: [{do: turn O1 accessory, opens: movements}, {do: close-hood, closes: movements}], then: all-right}
"""
ANSWER = """\
keys: {R: {kind: remote, registered: true, here: 1}}
slots: {remote: 4}
steps:
  asked: {prompt: {says: "NEW LIST? Y/N", choices: {Y: replace-all, N: add}, answer: GAP}, then: all-right}
"""
COUNTED = (
    OPEN
    + """\
slots: {key: 5}
steps:
  before: {do: read key as n, ways: {GAP: learn-it, otherwise: as-it-was, fails: as-it-was}}
  learn-it: {do: learn N1, then: all-right, fails: not-sure}
"""
)
CUT = "start: {ignition: on, cylinder: O1, support: GAP}\nsteps: {cut: {do: cut-blade N1, then: all-right}}\n"
HOOD = "start: {ignition: off, cylinder: O1, hood: GAP}\nsteps: {begin: {do: turn O1 on, then: all-right}}\n"
LIFTED = "start: {ignition: off, engine: stopped}\nsteps: {lift: {do: open-hood, then: all-right}}\n"
POWER = """\
start: {ignition: off, cylinder: empty, window-driver: open}
steps: {off: {do: [put O1 GAP, disconnect-12v 600 s], then: all-right}}
"""

AWAKE = (
    OPEN
    + """\
steps:
  long: {do: {do: wait-access N1, takes: 10-10-11 min, expect: the screen counts to zero}, then: all-right, fails: not-sure}
"""
)

TRAPS = {
    "a repeat turns on and off": Trap(
        "turn-to-current-state",
        "start: {ignition: off, cylinder: O1}\nsteps:\n  turns: {do: [{do: [GAP], repeat: 3}], then: all-right}\n",
        "turn O1 on, turn O1 off",
        "turn O1 on, turn O1 on, turn O1 off",
    ),
    "a key that must not start any more": Trap("erased-key-not-proved-dead", ERASED, DEAD, "  end: {ways: {done: all-right}}"),
    "not to start is what is wished": Trap("failure-leads-to-success", ERASED, DEAD, DEAD.replace("not-sure", "all-right")),
    "only time has passed": Trap("fallback-changes-nothing", SECOND, "wait 60 s", "look hood"),
    "another key is taken": Trap(
        "fallback-changes-nothing", SECOND, "[turn O1 off, remove O1, insert O2, turn O2 on]", "look hood"
    ),
    "a loop over keys ends with the last": Trap(
        "retry-without-limit",
        ROUNDS,
        "for-each: {X: O}, do: [insert X, turn X on, turn X off, remove X], then: all-right",
        "do: {do: look hood, expect: it is shut}, then: all-right, fails: each",
    ),
    "a session that wrote nothing ends as found": Trap("ending-unsuitable-for-state", SESSION, "read key as n", "learn N1"),
    "who is refused needs no support": Trap("hazard-without-caution: low-battery-write", REFUSED, "as-it-was", "begin"),
    "a read is no write": Trap(
        "hazard-without-caution: low-battery-write",
        OPEN + "steps:\n  only: {do: GAP, then: all-right, fails: not-sure}\n",
        "read key as n",
        "learn N1",
    ),
    "no code where a working key spares it": Trap(
        "protected-write-without-access", LEARN, "none-with-working-key", "required", "code"
    ),
    "on board there is no session": Trap(
        "left-open-at-end: session",
        "method: on-board\nstart: {ignition: on, cylinder: N1, tool: plugged, session: none}\n"
        "steps: {learn-it: {do: {do: GAP}, then: all-right, fails: all-right}}\n",
        "learn N1, by: vehicle",
        "open-session",
    ),
    "a push-start has no cylinder": Trap(
        "key-removal-impossible",
        "start: {ignition: on, engine: stopped}\nsteps: {out: {do: GAP, then: all-right}}\n"
        + VEHICLE.replace("KIND", "push-start").replace("MORE", "gearbox: [automatic]"),
        "press START",
        "remove O1",
    ),
    "a vehicle that wants one key twice": Trap("duplicate-learn-of-same-key", ABA, "not-sure", "four"),
    "a manual gearbox has no P": Trap(
        "starts-from-unstated-state",
        "start: {ignition: off, cylinder: O1}\nsteps: {out: {do: remove O1, then: all-right}}\n"
        + VEHICLE.replace("KIND", "keyed").replace("MORE", "gearbox: [GAP]"),
        "manual",
        "automatic",
    ),
    "a door that was open before": Trap(
        "left-open-at-end: doors",
        "start: {ignition: off, cylinder: O1, door-driver: GAP}\n"
        "steps: {out: {do: make-sure door-driver open, then: all-right}}\n",
        "open",
        "closed",
    ),
    "a session that the tool keeps awake": Trap(
        "wait-outlives-session", AWAKE, "300,tool", "300,none", "session-timeout,session-keepalive"
    ),
    "an engine that is meant to run": Trap(
        "engine-state-wrong",
        LEARN.replace("session: open", "session: open, engine: running"),
        "running",
        "stopped",
        "engine-during-learn",
    ),
    "a job that began without a key": Trap("ends-without-working-key", LOST, "0", "1"),
    "a caution before the timed part": Trap("hazard-without-caution: pinch", TIMED, "caution: [pinch], ", ""),
}


def hazard(name: str, text: str, right: str, wrong: str, fact: str = "") -> Trap:
    """Give what the state or a fact ends a hazard for, and what it does not."""
    return Trap(f"hazard-without-caution: {name}", text, right, wrong, fact)


DISCHARGED = {
    "a place was counted": Trap("add-when-full", COUNTED, "n < 5", "n <= 5"),
    "support holds the battery": Trap("ignition-on-time-without-support", CUT, "connected", "none"),
    "the answer keeps the remotes": hazard("remotes-erased", ANSWER, "N", "Y"),
    "keys are added": hazard("keys-erased-absent", "learning: GAP\n" + LEARN, "add", "replace-all"),
    "the part does not lock itself": hazard("wrong-part-locked", LEARN, "false", "true", "one-time-part"),
    "there is no high voltage": hazard(
        "hybrid-silent-ready",
        LIFTED + VEHICLE.replace("KIND", "push-start").replace("MORE", "high-voltage: [GAP]"),
        "none",
        "hybrid",
    ),
    "a key is outside": hazard("keys-left-inside", POWER, "pocket", "aside"),
    "the hood is closed": hazard("moving-parts-hood", HOOD, "closed", "open"),
}


@pytest.mark.parametrize("trap", DISCHARGED.values(), ids=DISCHARGED)
def test_what_ends_a_hazard_needs_no_caution(trap: Trap) -> None:
    """A hazard that cannot come any more calls for no caution, and the same without what ended it does."""
    assert [] == found(trap, trap.right)
    assert found(trap, trap.wrong)


def test_caution_in_a_block_counts() -> None:
    """A caution that stands in a block that is followed is read as one of the file itself."""
    text = OPEN + "steps:\n  warn: {follow: warn 1, then: learn-it}\n" + LEARN.partition("steps:\n")[2] + ENDINGS
    for words, expected in (("caution: [low-battery-write], ", []), ("", ["low-battery-write"])):
        files = {"example.yaml": completed("example.yaml", text), "blocks/warn.yaml": WARNED.replace("GAP", words)}
        results = check(files, (RULES["hazard-without-caution"],)).results
        assert expected == [each.result.subject for each in results if each.result.subject == "low-battery-write"]


NESTED = """\
windows:
  whole: {at-most: 30 s, late: too-late}
  press: {at-most: GAP s, late: too-late}
steps:
  begin: {do: [{do: turn O1 on, opens: whole}, wait 4-5 s, {do: turn O1 off, opens: press}]}
  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: [press, whole]}, then: all-right}
fallbacks:
  too-late: {tries: 1, do: [make-sure ignition off, wait 20 s], ways: {done: begin, spent: as-it-was}}
"""


def test_window_that_ends_first_is_at_most_a_note() -> None:
    """An inner window that could outlast the outer one is no more than a note where all that is done fits."""
    for seconds, expected in (("28", [Level.NOTE]), ("12", [])):
        text = completed("example.yaml", NESTED.replace("GAP", seconds) + ENDINGS)
        results = check({"example.yaml": text}, (RULES["inner-window-outlives-outer"], RULES["steps-do-not-fit-window"])).results
        assert expected == [each.level for each in results]


@pytest.mark.parametrize("trap", TRAPS.values(), ids=TRAPS)
def test_what_is_right_is_silent(trap: Trap) -> None:
    """What only looks wrong gives nothing, and what differs from it in one thing and is wrong tells."""
    assert [] == found(trap, trap.right)
    assert found(trap, trap.wrong)


def subjects(asked: str, files: dict[str, str]) -> list[str]:
    """Give the subjects of the results of one rule in a library."""
    report = check(files, (RULES[asked],))
    assert () == report.own_faults
    assert () == report.not_checked
    return [each.result.subject for each in report.results]


OVERLAPPING = """\
make,model,years,markets,variant,tell,key-cap
Corvane,Halyard,2008-2013,region-1,{variants[0]},{tells[0]},4
Corvane,Halyard,2012-2015,region-1,{variants[1]},{tells[1]},{cap}
"""
TELLS = ("2-pin ring plug", "4-pin ring plug")


@pytest.mark.parametrize(
    ("variants", "tells", "cap", "expected"),
    [
        (("", ""), ("", ""), 8, ["key-cap"]),
        (("", ""), ("", ""), 4, []),
        (("A", "B"), TELLS, 8, []),
        (("A", "A"), TELLS[:1] * 2, 8, ["key-cap"]),
    ],
)
def test_rows_that_meet(variants: tuple[str, str], tells: tuple[str, str], cap: int, expected: list[str]) -> None:
    """Rows that meet contradict each other only where they say something else of vehicles that nothing tells apart."""
    rows = OVERLAPPING.format(variants=variants, tells=tells, cap=cap)
    assert expected == subjects("overlapping-rows-conflict", {"sources.yaml": SOURCES, "facts/book.csv": rows})


ONE_VIDEO = "sources:\n  - {id: some-video, kind: training-sheet, title: A video, date: 2019-05-01}\n"
SEEN = "make,model,years,markets,by,on,note,key-cap\n"


@pytest.mark.parametrize(("members", "expected"), [((), ["some-video"]), (("m-21", "m-22", "m-23"), [])])
def test_one_source_that_members_confirm(members: tuple[str, ...], expected: list[str]) -> None:
    """What one distant source says is no claim of it alone where three members saw it, each at another vehicle."""
    files = {
        "sources.yaml": ONE_VIDEO,
        "facts/some-video.csv": "make,model,years,markets,key-cap\nCorvane,Halyard,2013-2017,region-1,4\n",
        "example.yaml": completed("example.yaml", "slots: {key: 4}\n" + VEHICLE.replace("KIND, MORE", "keyed")),
    }
    rows = [f"Corvane,Halyard,2013-2017,region-1,{by},2026-03-0{day},worked,4\n" for day, by in enumerate(members, 1)]
    if rows:
        files["facts/field-reports.csv"] = SEEN + "".join(rows)
    assert expected == subjects("single-source-claim", files)
