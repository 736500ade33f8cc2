"""What facts tables say of a procedure's vehicles reaches the rules that run it."""

import pytest

from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import study_file
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.model import Flow
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
