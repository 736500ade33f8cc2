"""What facts tables say of a procedure's vehicles reaches the rules that run it; what a procedure itself states of them."""

import pytest

from proclint.analysis.facts.against import held, stating
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.facts.stated import Stated, job_of
from proclint.analysis.file_study import study_file
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.model import Flow, Procedure, kinds_of_source
from proclint.source import Limits, SourceText, read_csv
from proclint.testing import ON, check, completed

TABLE = """\
make,model,years,key-cap,code
Corvane,Halyard,2010-2013,5,required
Corvane,Halyard,2017-2019,6,
Corvane,Halyard,2018-2019,7,none
Corvane,Halyard,soon,8,none
Corvane,Tarn,2013-2017,9,none
Corvane,Halyard,,unknown,
"""
ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}\n"
JOB = "steps: {a: {do: learn N1, then: all-right, fails: gone}}\n" + ENDINGS
BLOCK = "block: look-on\nexits: [ready]\nsteps: {a: {do: look hood, then: ready}}\n"


def flow_of(text: str) -> Flow:
    """Read a procedure or block, completed where it says too little."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    assert found.is_sound, found.faults
    return found.flow


@pytest.mark.parametrize(("text", "expected"), [(JOB, (("code", ("required",)), ("key-cap", ("5", "6")))), (BLOCK, ())])
def test_rows_that_speak_of_the_vehicles(text: str, expected: tuple[tuple[str, tuple[str, ...]], ...]) -> None:
    """Rows speak of the vehicles that they share with a procedure, never of a block; one with unreadable years says nothing."""
    known = facts_in((read_csv(SourceText("facts.csv", TABLE), Limits()),), standard().attributes)
    assert expected == known(flow_of(text))
    assert expected == known(flow_of(text))


@pytest.mark.parametrize(("row", "is_told"), [("2010-2013,required", True), ("2010-2013,none", False), ("soon,required", False)])
def test_a_code_that_a_table_asks_for(row: str, is_told: bool) -> None:
    """Where a table says that the vehicles want a code, learning a key without one is told."""
    rules = tuple(rule for rule in known_rules() if rule.id == "protected-write-without-access")
    files = {"example.yaml": completed("example.yaml", JOB), "facts/log.csv": f"make,model,years,code\nCorvane,Halyard,{row}\n"}
    assert is_told == bool(check(files, rules).results)


def stated(steps: str) -> dict[str, str]:
    """Give what a procedure with some steps states."""
    flow = flow_of(steps + ENDINGS)
    assert isinstance(flow, Procedure)
    return {each.attribute: each.text for each in job_of(flow, {}).stated}


WAITS = frozenset({"lockout-waited", "wait-written-least", "wait-written-most", "key-during-wait", "waits-written"})


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("wait-lockout", {}),
        ("{do: wait-lockout, takes: 30-60 min}", {"lockout-waited": "1800"}),
        ("wait-access", {"waits-written": "1"}),
        ("wait-access O1", {"waits-written": "1", "key-during-wait": "original|any"}),
        ("wait-access N1", {"waits-written": "1", "key-during-wait": "new|any"}),
        (
            "{do: wait-access, takes: 10-11 min}",
            {"waits-written": "1", "wait-written-least": "600", "wait-written-most": "660"},
        ),
    ],
)
def test_a_wait_states_what_is_written_of_it(line: str, expected: dict[str, str]) -> None:
    """A wait without a time of its own, or without a key, states none: what the catalogue takes it to last is nobody's word."""
    found = stated(f"steps: {{a: {{do: {line}, then: all-right, fails: gone}}}}\n")
    assert expected == {name: text for name, text in found.items() if name in WAITS}


@pytest.mark.parametrize(("kind", "expected"), [("key", {"new-keys": "0-0", "originals-present": "2-2"}), ("remote", {})])
def test_a_new_list_states_how_many_keys_it_is_shown(kind: str, expected: dict[str, str]) -> None:
    """A list of keys that is begun anew is shown those that are here; of remotes alone it says nothing."""
    keys = f"learning: replace-all\nkeys: {{O: {{kind: {kind}, registered: true, here: 2}}}}\n"
    found = stated(f"{keys}steps: {{a: {{do: look hood, then: all-right, fails: gone}}}}\n")
    assert expected == {name: text for name, text in found.items() if name in ("new-keys", "originals-present")}


def told_against(table: str, *said: tuple[str, str, str]) -> tuple[list[str], list[str]]:
    """Hold what a procedure says, each attribute, text and market, against a table; give its claims and what it goes against."""
    flow = flow_of(JOB)
    assert isinstance(flow, Procedure)
    evidence = Evidence((read_csv(SourceText("facts/log.csv", table), Limits()),), (), kinds_of_source(), standard().attributes)
    words = tuple(Stated(attribute, text, flow.at, market) for attribute, text, market in said)
    stands = stating(job_of(flow, {})._replace(stated=words), evidence)
    found = [fact.attribute for each in held(stands, evidence).disagreements for fact in each.facts]
    return [claim.text for claim in stands.claims], found


CAP = "make,model,years,key-cap\nCorvane,Halyard,2010-2019,5\n"


def test_what_means_nothing_is_held_against_nothing() -> None:
    """A value that cannot be, or that is said of a market where the vehicles are not sold, is no claim; the others are."""
    assert (["6"], ["key-cap"]) == told_against(CAP, ("key-cap", "99", ""), ("key-cap", "7", "region-2"), ("key-cap", "6", ""))
    assert ([], []) == told_against(CAP, ("key-cap", "99", ""))


def test_tables_that_contradict_themselves_are_no_fault_of_a_procedure() -> None:
    """What a table says against itself is not told of a procedure that speaks of something else."""
    table = "make,model,years,head-kind,key-cap,minimum-keys-to-close,code-length\nCorvane,Halyard,2010-2019,plain,1,2,4\n"
    assert (["4"], []) == told_against(table, ("code-length", "4", ""))
    assert (["5"], ["code-length"]) == told_against(table, ("code-length", "5", ""))


def test_what_is_believed_as_well_is_not_held_against_a_procedure() -> None:
    """Where facts contradict one another, a procedure that says what is believed is not against them; another value is."""
    table = "make,model,head-kind,key-cap,minimum-keys-to-close\nCorvane,Halyard,plain,1,2\n"
    assert (["plain"], []) == told_against(table, ("head-kind", "plain", ""))
    said, against = told_against(table, ("head-kind", "fob", ""))
    assert (["fob"], ["head-kind"]) == (said, against)


def test_what_is_believed_of_some_vehicles_is_held_against_a_procedure_for_the_others() -> None:
    """A head that is believed of the first years only is the procedure's own word for the others."""
    table = "make,model,years,head-kind,key-cap,minimum-keys-to-close\n"
    table += "Corvane,Halyard,2013-2017,,1,2\nCorvane,Halyard,2013-2014,plain,,\n"
    _, against = told_against(table, ("head-kind", "plain", ""))
    assert ["key-cap", "minimum-keys-to-close"] == sorted(set(against))
