"""The account of a procedure says of its endings, slots, hazards and neighbours what is so, and never less than what can be."""

import random
from functools import cache
from pathlib import Path

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.account import neighbours
from proclint.analysis.account.course import Leading, course_of
from proclint.analysis.account.endings import Ending, Proof, Standing, endings_of
from proclint.analysis.account.hazards import HazardRow, Warned, hazards_of
from proclint.analysis.account.neighbours import neighbours_of, overlapping
from proclint.analysis.account.slots import Ledger, ledgers_of
from proclint.analysis.facts.boxes import Box, TooManyPieces
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.file_study import study_file
from proclint.analysis.states.covered import Covered, Known
from proclint.analysis.states.findings import Findings, Undecided
from proclint.analysis.states.laying import lay
from proclint.analysis.states.lines import CAUTION_RULE
from proclint.analysis.states.steps import Layer
from proclint.analysis.walk import SPENT, enter, take
from proclint.catalogue import standard
from proclint.model import Block, Flow, Procedure, kinds_of_source

LIBRARY = Path(__file__).parents[1] / "procedures"
ON = "2026-11-25"
SEED = 20261128

SMALL = """\
format: 1
id: corvane-halyard-add-key
title: Add a key
task: add-key
method: tool
learning: add
takes: 10-15-30 min
version: 3
stage: field-proven
written: {by: m-07, date: 2026-03-02}
sources: [halyard-handbook]
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2015, markets: [region-1], ignition-kind: keyed, gearbox: manual}
keys:
  O: {kind: key, registered: true, here: 1-2}
  N: {kind: key, registered: false, here: 1, cut: true}
slots: {key: 4}
start: {ignition: off, cylinder: empty, tool: unplugged}
steps:
  power: {do: [plug tool, insert O1, turn O1 on], fails: stays}
  open: {do: open-session, fails: stays}
  before: {do: read key as n, ways: {n < 4: learn, otherwise: stays, fails: stays}}
  learn: {do: learn N1, fails: again}
  after: {do: read key as m, ways: {m = n + 1: shut, otherwise: half, fails: half}}
  shut: {do: [close-session, turn O1 off, remove O1], then: try}
  try: {do: [insert N1, start N1], ways: {runs: added, otherwise: half}}
fallbacks:
  again: {tries: 1, do: wait 10-20 s, ways: {done: learn, spent: half}}
endings:
  added: {kind: success, tell: It works.}
  stays: {kind: as-found, tell: Nothing was changed.}
  half: {kind: not-as-found, tell: The new key may not work.}
"""


BLOCK = """\
block: alone
version: 1
title: Look about
exits: [done-so]
steps:
  see: {do: act look about, then: done-so}
"""


def evidence(**tables: str) -> Evidence:
    """Give what tables say, each by the name of its source."""
    studies = [study_file(f"facts/{name}.csv", text.encode(), "facts", standard(), on=ON) for name, text in tables.items()]
    given = tuple(study.table for study in studies if study.table is not None)
    return Evidence(given, (), kinds_of_source(), standard().attributes)


def flow_of(name: str, text: bytes) -> Flow:
    """Read a text as a procedure or block."""
    flow = study_file(name, text, "steps", standard(), on=ON).flow
    assert flow is not None
    return flow


@cache
def library() -> tuple[Flow, ...]:
    """Read all procedures and blocks of the library."""
    return tuple(flow_of(path.as_posix(), path.read_bytes()) for path in sorted(LIBRARY.glob("*/*.yaml")))


@cache
def shelf() -> Shelf:
    """Put the blocks of the library on a shelf."""
    return Shelf({flow.id: flow for flow in library() if isinstance(flow, Block)}, standard())


def study_of(flow: Flow) -> Study:
    """Give the study of a flow."""
    return Study(flow, shelf(), ON, Limits())


@cache
def covered_of(flow: str) -> tuple[Study, Covered]:
    """Lay out a procedure of the library, by its id, or the small one."""
    found = next((each for each in library() if each.id == flow), None) or flow_of("small.yaml", SMALL.encode())
    study = study_of(found)
    return study, Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))


@cache
def small_endings() -> dict[str, Ending]:
    """Give the endings of the small procedure by name."""
    study, covered = covered_of("")
    return {each.end.name: each for each in endings_of(study, covered)}


def standings(ending: str) -> dict[str, tuple[Standing, bool]]:
    """Give how each key stands at an ending of the small procedure, and whether it may not be here."""
    return {each.key: (each.standing, each.may_be_missing) for each in small_endings()[ending].keys}


@pytest.mark.parametrize("name", ["", "corvane-halyard-relearn-remotes", "varnholt-lode-all-keys-lost-by-code"])
def test_covering_misses_nothing(name: str) -> None:
    """In 300 random walks through a machine, each state in which a stop is entered lies in what covers that stop."""
    _, covered = covered_of(name)
    chance, layout = random.Random(SEED), covered.laid.cast.layout
    counts = sum(counter.field for counter in covered.laid.machine.counters.values())
    for _ in range(300):
        machine = chance.choice(covered.machines)
        stop, state = 0, machine.start
        for _ in range(400):
            for variable in range(len(layout.sizes)):
                field, flag = layout.field(variable), layout.flag(variable)
                cover = covered.states[stop] & field
                assert cover & flag or not (state & field & ~counts & ~cover), covered.laid.cast.names[variable]
            entered = enter(machine, state, stop)
            known = machine.stops[stop]
            choices = [SPENT] if entered.is_spent and known.spent is not None else list(range(len(known.moves)))
            taken = [(each, after) for each in choices if (after := take(machine, entered.state, stop, each)) is not None]
            if not taken:
                break
            move, state = chance.choice(taken)
            stop += (known.spent if move == SPENT and known.spent is not None else known.moves[move]).by


def test_too_many_numbers_of_keys_stay_together() -> None:
    """Six groups of no or one key are 64 cases: five are taken apart, the sixth is covered together, and none is lost."""
    more = "".join(f"  {letter}: {{kind: key, registered: true, here: 0-1}}\n" for letter in "ABCDEF")
    text = SMALL.replace("here: 1-2", "here: 1").replace("slots: {key: 4}\n", f"{more}slots: {{key: 9}}\n")
    study = study_of(flow_of("small.yaml", text.encode()))
    covered = Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))
    starts = [[covered.known(f"{letter}.here", machine.start).values for letter in "ABCDEF"] for machine in covered.machines]
    assert 2**5 == len({tuple(each[:5]) for each in starts}) == len(starts)
    assert {("0", "1")} == {each[5] for each in starts}
    assert all(len(values) == 1 for each in starts for values in each[:5])


def test_keys_at_endings() -> None:
    """A key is told apart by what was tried, what the vehicle knows and what is not here on every way."""
    assert {"O1": (Standing.KNOWN, False), "O2": (Standing.KNOWN, True), "N1": (Standing.STRANGE, False)} == standings("stays")
    assert (Standing.WORKS, False) == standings("added")["N1"]
    assert (Standing.SOMETIMES, False) == standings("half")["N1"]


def test_proof_of_originals() -> None:
    """Originals that nobody tries after a write are not proved; where nothing was written there is nothing to prove."""
    assert Proof.NO is small_endings()["added"].proof
    assert Proof.NOT_NEEDED is small_endings()["stays"].proof


def test_what_is_left_open() -> None:
    """An ending names what it leaves open, with the values that it may have."""
    left = {each.variable: each.values for each in small_endings()["half"].left}
    assert "plugged" in left["tool"]
    assert "session" in left


def test_ways_to_endings() -> None:
    """Each ending has a way that can be taken, which ends there."""
    assert {"added": "added", "stays": "stays", "half": "half"} == {
        name: each.way[-1].station.of.name for name, each in small_endings().items()
    }
    assert all(each.time is not None and each.time.quickest <= each.time.usual for each in small_endings().values())


def endings_in(text: str) -> dict[str, Ending]:
    """Give the endings of a procedure by name."""
    study = study_of(flow_of("small.yaml", text.encode()))
    covered = Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))
    return {each.end.name: each for each in endings_of(study, covered)}


def test_ending_without_a_way() -> None:
    """Where the file itself says that a key is always here, no way leads to the ending for none, and nothing is said of it."""
    counted = SMALL.replace("steps:\n", "steps:\n  count: {do: count O, ways: {O.here = 0: none, otherwise: power}}\n")
    found = endings_in(counted + "  none: {kind: as-found, tell: There is no key.}\n")
    assert ((), "", ()) == (found["none"].way, found["none"].limit, found["none"].keys)
    assert found["stays"].way


def test_key_that_is_not_at_an_ending() -> None:
    """Where no original is here there is none to tell of, nor one that could be proved; the new key is told all the same."""
    counted = SMALL.replace("here: 1-2", "here: 0-1").replace(
        "steps:\n", "steps:\n  count: {do: count O, ways: {O.here = 0: write, otherwise: power}}\n"
        "  write: {do: [plug tool, open-session, learn N1], then: alone, fails: alone}\n"
    )  # fmt: skip
    found = endings_in(counted + "  alone: {kind: not-as-found, tell: The new key may not work.}\n")
    assert ["N1"] == [each.key for each in found["alone"].keys]
    assert Proof.NONE_HERE is found["alone"].proof
    assert ["O1", "N1"] == [each.key for each in found["stays"].keys]


def test_original_that_was_dropped() -> None:
    """An original that the vehicle let go, and that nobody tried since, is told as dropped."""
    erased = SMALL.replace("  learn: {do: learn N1, fails: again}", "  learn: {do: erase keys, then: gone, fails: half}")
    found = endings_in(erased + "  gone: {kind: not-as-found, tell: No key works.}\n")["gone"]
    assert {"O1": Standing.DROPPED, "N1": Standing.STRANGE}.items() <= {each.key: each.standing for each in found.keys}.items()


def test_what_may_be_left_open_and_met_a_limit() -> None:
    """What was not decided of an ending is named there, and at no other ending; what is asked there of keys is not."""
    study = study_of(flow_of("small.yaml", SMALL.encode()))
    covered = Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf)))
    broken = {(each.demand.rule, each.demand.variable): each for each in study.states.broken if each.station.of.name == "half"}
    rules = {rule for rule, _ in broken if rule != "left-open-at-end"}
    assert rules
    asked = [each for (rule, variable), each in broken.items() if rule in rules or variable == "session"]
    open_ones = tuple(Undecided(each.demand, each.station, "states") for each in asked)
    vars(study)["states"] = Findings(undecided=open_ones)
    found = {each.end.name: each for each in endings_of(study, covered)}
    assert (("session",), ()) == (found["half"].undecided, found["half"].left)
    assert {()} == {each.undecided for name, each in found.items() if name != "half"}


def test_learned_and_not_tried() -> None:
    """A key that was learned and that nobody tried is told as learned, and one that surely failed its test as dead."""
    untried = SMALL.replace(
        "try: {do: [insert N1, start N1], ways: {runs: added, otherwise: half}}", "try: {ask: Go?, ways: {y: added}}"
    )
    (key,) = [each for each in endings_in(untried)["added"].keys if each.key == "N1"]
    assert Standing.LEARNED is key.standing
    dead = SMALL.replace("runs: added, otherwise: half", "runs: added, does not start: dead, otherwise: half")
    found = endings_in(dead + "  dead: {kind: not-as-found, tell: The new key is dead.}\n")["dead"]
    assert Standing.FAILS is next(each.standing for each in found.keys if each.key == "N1")


def test_library_endings_are_proved() -> None:
    """On every way to a success of the library every key that is here was tried and works, where anything was changed."""
    study, covered = covered_of("corvane-halyard-relearn-remotes")
    found = [each for each in endings_of(study, covered) if each.end.kind == "success"]
    assert found
    assert all(key.standing is Standing.WORKS for each in found for key in each.keys)
    assert {Proof.YES} == {each.proof for each in found}


def test_blocks_have_exits_and_times() -> None:
    """Of a block the exits are given with their times, and nothing is said of keys."""
    block = next(each for each in library() if each.id == "try-key")
    found = endings_of(study_of(block), None)
    assert list(block.ends) == [each.end.name for each in found]
    assert all(each.time is not None and not each.keys and not each.way for each in found)


def ledger() -> Ledger:
    """Give the ledger of the small procedure's keys."""
    study, covered = covered_of("")
    assert isinstance(study.flow, Procedure)
    (found,) = ledgers_of(study.flow, covered)
    return found


def test_slots_are_narrowed_and_moved() -> None:
    """A read makes known, the way taken narrows, and a learn moves how many places are used; beyond the cap is told."""
    lines = {line.step.name: line for line in ledger().lines}
    assert ["before", "learn", "after"] == list(lines)
    assert ("key", 4) == (ledger().kind, ledger().cap)
    assert Known((), may_be_any=True) == lines["before"].before
    assert lines["before"].is_read
    assert Known(tuple("0123"), may_be_any=False) == dict(lines["before"].after)["n < 4"]
    assert not lines["learn"].is_read
    assert "4" in dict(lines["learn"].after)["done"].values
    assert ledger().passes_cap == any("5" in after.values for line in ledger().lines for _, after in line.after)


def test_cap_that_may_be_passed() -> None:
    """Where a way lets a full vehicle learn one more key, the ledger says that the cap may be passed."""
    flow = flow_of("small.yaml", SMALL.replace("n < 4: learn", "n <= 4: learn").encode())
    assert isinstance(flow, Procedure)
    study = study_of(flow)
    (found,) = ledgers_of(flow, Covered(lay(flow, study.written, study.shelf, Layer(study.shelf))))
    assert found.passes_cap


def rows() -> dict[str, HazardRow]:
    """Give the hazards of the small procedure."""
    return {row.hazard.name: row for row in hazards_of(*covered_of(""))}


def test_hazard_without_caution() -> None:
    """A hazard that nobody is warned of is told with the line at which it arises."""
    row = rows()["low-battery-write"]
    assert [("learn", "", "learn N1", Warned.NEVER)] == [(each.step, each.block, each.text, each.warned) for each in row.arises]
    assert not row.is_answered
    assert () == row.shown_at


def test_hazards_of_the_library_are_answered() -> None:
    """In a procedure without results every hazard that arises is answered on every way, and its caution stands somewhere."""
    found = hazards_of(*covered_of("varnholt-lode-all-keys-lost-by-code"))
    assert len(found) > 10
    assert all(row.is_answered and row.shown_at for row in found)
    assert any(each.block.endswith("battery-support.yaml") for row in found for each in row.arises)


def test_caution_on_one_branch() -> None:
    """A caution that stands on one of two ways is read on some ways only."""
    text = SMALL.replace(
        "  learn: {do: learn N1, fails: again}",
        "  which: {ask: Is the battery low?, ways: {yes: warn, no: learn}}\n"
        "  warn: {caution: [low-battery-write], do: look hood, then: learn, fails: learn}\n"
        "  learn: {do: learn N1, fails: again}",
    ).replace("n < 4: learn", "n < 4: which")
    study = study_of(flow_of("small.yaml", text.encode()))
    found = hazards_of(study, Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf))))
    row = next(row for row in found if row.hazard.name == "low-battery-write")
    assert [Warned.SOMETIMES] == [each.warned for each in row.arises]
    assert ("warn",) == row.shown_at


def test_gravest_of_one_block_is_told() -> None:
    """Of a line that stands twice in a block, first without a caution and then with it, the one without is told."""
    block = """\
block: teach
version: 1
title: Show it twice
given: {K: key}
exits: [taught]
steps:
  one: {do: learn K, then: two, fails: two}
  two: {caution: [low-battery-write], do: learn K, then: taught, fails: taught}
"""
    text = SMALL.replace("learn: {do: learn N1, fails: again}", "learn: {follow: teach 1, given: {K: N1}, then: after}")
    inner = flow_of("blocks/teach.yaml", block.encode())
    assert isinstance(inner, Block)
    study = Study(flow_of("small.yaml", text.encode()), Shelf({"teach": inner}, standard()), ON, Limits())
    found = hazards_of(study, Covered(lay(study.flow, study.written, study.shelf, Layer(study.shelf))))
    row = next(row for row in found if row.hazard.name == "low-battery-write")
    assert [("learn", "blocks/teach.yaml", "learn K", Warned.NEVER)] == [
        (each.step, each.block, each.text, each.warned) for each in row.arises
    ]
    assert ("teach: two",) == row.shown_at


def test_caution_that_met_a_limit() -> None:
    """Where a limit was met before it was decided whether a caution is read on every way, just that is told."""
    study, covered = study_of(flow_of("small.yaml", SMALL.encode())), covered_of("")[1]
    found = study.states.of(CAUTION_RULE)
    vars(study)["states"] = Findings(undecided=tuple(Undecided(each.demand, each.station, "states") for each in found))
    (row,) = (row for row in hazards_of(study, covered) if row.hazard.name == "low-battery-write")
    assert [Warned.UNDECIDED] == [each.warned for each in row.arises]
    assert not row.is_answered


def test_course() -> None:
    """A row goes on to the next, or leads elsewhere by the outcomes that do, ways to one place together."""
    study, _ = covered_of("")
    course = course_of(study.written)
    by_name = {row.step.name: row for row in course.rows}
    assert ("done",) == by_name["power"].goes_on
    assert (Leading(("fails",), "stays", None),) == by_name["power"].leads
    assert (Leading(("otherwise", "fails"), "half", None),) == by_name["after"].leads
    assert Leading(("done",), "learn", 3) in by_name["again"].leads
    assert ["added", "stays", "half"] == [end.name for end in course.ends]


def test_late_ways_are_in_the_course() -> None:
    """An overrun of a window leads from each step during which it is open."""
    study, _ = covered_of("corvane-halyard-relearn-remotes")
    leads = [lead for row in course_of(study.written).rows for lead in row.leads]
    assert any("late for press" in lead.outcomes for lead in leads)


def test_neighbours() -> None:
    """Procedures for the same vehicles are neighbours, with the vehicles in common and the caps that differ."""
    own = flow_of("small.yaml", SMALL.encode())
    text = SMALL.replace("id: corvane-halyard-add-key", "id: other").replace("2013-2015", "2015-2019").replace("key: 4", "key: 6")
    other = flow_of("other.yaml", text.encode())
    apart = flow_of("apart.yaml", text.replace("id: other", "id: apart").replace("2015-2019", "2018-2019").encode())
    found = neighbours_of(own, (own, other, apart), evidence(), standard())
    (neighbour,) = found.procedures
    assert "other" == neighbour.procedure.id
    assert ("Corvane Halyard 2015; markets region-1; ignition-kind keyed; gearbox manual",) == neighbour.vehicles
    assert (("key", "4", "6"),) == neighbour.other_caps
    same = flow_of("same.yaml", text.replace("key: 6", "key: 4").encode())
    assert [()] == [each.other_caps for each in neighbours_of(own, (own, same), evidence(), standard()).procedures]
    block = next(each for each in library() if isinstance(each, Block))
    assert [] == list(overlapping(block, (own, other), standard()))
    assert ["other"] == [each.id for each in overlapping(own, (own, other, apart), standard())]


SAID = "make,model,years,markets,variant,key-cap,rearm,cutout\n"


def test_what_sources_leave_open() -> None:
    """Contradictions, what nobody knows and vehicles of which no table speaks are told; what differs by market is not."""
    own = flow_of("small.yaml", SMALL.replace("markets: [region-1]", "markets: [region-1, region-2]").encode())
    handbook = f"{SAID}Corvane,Halyard,2013-2014,,,5,unknown,\nCorvane,Halyard,2013-2014,region-1,,,,3\n"
    note = f"{SAID}Corvane,Halyard,2013-2014,,,8,,\nCorvane,Halyard,2013-2014,region-2,,,,4\n"
    found = neighbours_of(own, (), evidence(handbook=handbook, note=note), standard())
    assert [("key-cap", {"5 (handbook)", "8 (note)"})] == [(each.attribute.name, set(each.texts)) for each in found.contested]
    assert ("rearm",) == found.unknown
    assert ("Corvane Halyard 2015; markets region-1|region-2; ignition-kind keyed; gearbox manual; method tool",) == found.untold
    assert () == neighbours_of(flow_of("alone.yaml", BLOCK.encode()), (), evidence(note=note), standard()).untold


def test_vehicles_in_very_many_pieces() -> None:
    """Where what no table speaks of falls into too many pieces, that there is some is told all the same."""
    own = flow_of("small.yaml", SMALL.replace("markets: [region-1]", "markets: [region-1, region-2]").encode())
    marked = [f"Corvane,Halyard,2013-2015,m{number},,5,," for number in range(3)]
    whole = evidence(note="\n".join((SAID.strip(), *marked)) + "\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(neighbours, "uncovered", _too_many)
        (said,) = neighbours_of(own, (), whole, standard()).untold
    assert said.startswith("some of Corvane Halyard 2013-2015")


def _too_many(*_: object) -> tuple[Box, ...]:
    raise TooManyPieces


def test_blocks_are_shared() -> None:
    """A procedure's blocks name who else follows them, and a block names all that do."""
    procedure = next(each for each in library() if each.id == "corvane-halyard-relearn-remotes")
    shared = {each.block: each.procedures for each in neighbours_of(procedure, library(), evidence(), standard()).sharing}
    assert "authority" in shared
    assert all(procedure.id not in ids for ids in shared.values())
    block = next(each for each in library() if each.id == "authority")
    (own,) = neighbours_of(block, library(), evidence(), standard()).sharing
    assert procedure.id in own.procedures
