"""JUnit XML against its schema and as an independent reader has it.

The schema is `junit-10.xsd` (G. Boissinot, 2014, MIT licence, whole in `tests/schemas`), of the xUnit plug-in of Jenkins, as
pytest hands it on in its source distribution.
"""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from pathlib import Path

import pytest
from xmlschema import XMLSchema

from proclint.engine import OwnFault, Report, Reported
from proclint.model import Acceptance
from proclint.render.junit import junit
from proclint.results import Harm, Kind, Level, Result, State
from proclint.rule import Rule, Scope
from proclint.source import Place, SourceText
from tests.hostile import hostile_report

SCHEMA = Path(__file__).parent / "schemas" / "junit-10.xsd"


def nothing(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR, Level.NOTE), Harm.NO_KEY, "graph", "A page.", nothing)
AT = Place("a.yaml", ("one",), None, (5, 6))
ACCEPTANCE = Acceptance(AT, "no-such-way", "", "a", "", "It is meant.", "m-02", "2026-01-01", "2026-12-31")


def full_report() -> Report:
    """Give a report with one result of each fate."""
    return Report(
        results=(
            Reported(RULE, Level.ERROR, Result("It is <so>.", AT, change="Mend it."), "f1", state=State.NEW),
            Reported(RULE, Level.NOTE, Result("It is open.", AT, kind=Kind.OPEN), "f2", state=State.UPDATED),
            Reported(RULE, Level.NOTE, Result("It is small.", AT), "f3", state=State.NEW),
            Reported(RULE, Level.ERROR, Result("It was so.", AT), "f4", state=State.UNCHANGED, counts=False),
        ),
        accepted=(Reported(RULE, Level.ERROR, Result("It is taken.", AT), "f5", acceptance=ACCEPTANCE),),
        own_faults=(OwnFault("no-such-way", "a.yaml", "ValueError: 1"), OwnFault("no-such-way", "", "KeyError: 2")),
        files=("a.yaml", "b.yaml"),
        rules=(RULE,),
        texts={"a.yaml": SourceText("a.yaml", "one: 1\n")},
    )


@pytest.mark.parametrize("report", [Report(), full_report(), hostile_report()], ids=["empty", "full", "hostile"])
def test_schema_takes_it(report: Report) -> None:
    """The schema has nothing against a report with nothing in it, with everything, and with hostile texts."""
    XMLSchema(SCHEMA).validate(junit(report).encode("utf-8", "replace"))


def test_schema_refuses_what_is_wrong() -> None:
    """As it is used here, the schema sees a suite without its number of tests."""
    assert not XMLSchema(SCHEMA).is_valid(junit(full_report()).replace(' tests="8"', "").encode())


def cases() -> list[ET.Element]:
    """Read the full report by the standard library's reader, and give its cases."""
    return list(ET.fromstring(junit(full_report()).encode()).iter("testcase"))


def test_each_result_is_a_case() -> None:
    """What keeps the gate shut fails, the rest is skipped and says why; a clean file passes; a broken rule is an error."""
    fates = [(case.get("classname"), [part.tag for part in case], [part.get("message") for part in case]) for case in cases()]
    assert [
        ("a.yaml", ["failure"], ["It is <so>."]),
        ("a.yaml", ["failure"], ["It is open."]),
        ("a.yaml", ["skipped"], ["It is below the failing level: note."]),
        ("a.yaml", ["skipped"], ["It was there before."]),
        ("a.yaml", ["skipped"], ["Accepted by m-02 until 2026-12-31: It is meant."]),
        ("b.yaml", [], []),
        ("a.yaml", ["error"], ["ValueError: 1"]),
        ("library", ["error"], ["KeyError: 2"]),
    ] == fates


def test_numbers_add_up() -> None:
    """The numbers of the suite are those of its cases."""
    suite = ET.fromstring(junit(full_report()).encode())[0]
    assert {"name": "proclint", "tests": "8", "failures": "2", "errors": "2", "skipped": "3"} == suite.attrib


def test_failure_says_what_the_terminal_says() -> None:
    """A failure holds the result as it is told on the terminal: where it stands, and what to change."""
    (failure,) = cases()[0]
    assert failure.text is not None
    assert "a.yaml:1:6: one: 1" in failure.text
    assert "change  Mend it." in failure.text


def test_same_report_same_bytes() -> None:
    """Neither a date nor the name of a machine is in it."""
    assert junit(full_report()) == junit(full_report())
    assert "timestamp" not in junit(full_report())
    assert "hostname" not in junit(full_report())
