"""What JSON Lines say of a report."""

import json
from collections.abc import Iterator

import pytest

from proclint.engine import NotChecked, OwnFault, Report, Reported, Since
from proclint.model import Acceptance
from proclint.render.lines import json_lines
from proclint.results import Harm, Kind, Level, Passed, Result, State
from proclint.rule import Rule, Scope
from proclint.source import Place, SourceText


def no_results(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


FILE = "procedures/a.yaml"
RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR,), Harm.NO_KEY, "graph", "A page.", no_results)
AT = Place(FILE, ("two",), None, (9, 10))
FULL = Result(
    "Whoever takes 'two' stands still.",
    AT,
    change="Write 'three'.",
    why="It is é.",
    subject="two",
    trace=(Passed(AT, "one", "fails"), Passed(AT, "two")),
)
OPEN = Result("It could not be seen whether this ends.", AT, kind=Kind.OPEN)
ACCEPTANCE = Acceptance(AT, "no-such-way", "", "a", "", "It is meant.", "m-02", "2026-01-01", "2026-12-31")


def report_of(*results: Reported, accepted: tuple[Reported, ...] = ()) -> Report:
    """Make a report on one file."""
    return Report(
        results=results,
        accepted=accepted,
        not_checked=(NotChecked(FILE, "its steps"),),
        own_faults=(OwnFault("no-such-way", FILE, "ValueError"),),
        files=(FILE,),
        rules=(RULE,),
        texts={FILE: SourceText(FILE, "one: 1\r\n\r\n𐐀x\n")},
    )


def test_line_holds_all_of_a_result() -> None:
    """A result is one object with every member, its place counted from 1."""
    text = json_lines(report_of(Reported(RULE, Level.WARNING, FULL, "f1", "a", reaches=("b", "c"))))
    assert {
        "rule": "no-such-way",
        "subject": "two",
        "level": "warning",
        "kind": "fail",
        "harm": "no-key",
        "file": "procedures/a.yaml",
        "line": 2,
        "column": 2,
        "message": "Whoever takes 'two' stands still.",
        "why": "It is é.",
        "change": "Write 'three'.",
        "way": [{"step": "one", "outcome": "fails"}, {"step": "two", "outcome": ""}],
        "fingerprint": "f1",
        "accepted": False,
        "reaches": ["b", "c"],
        "state": "",
        "counts": True,
    } == json.loads(text)
    assert "é" in text


def test_each_result_is_one_line() -> None:
    """Results come in order and the accepted ones behind them, one a line, all with the same members."""
    accepted = Reported(RULE, Level.NOTE, FULL, "f3", acceptance=ACCEPTANCE)
    text = json_lines(
        report_of(
            Reported(RULE, Level.ERROR, FULL, "f1"),
            Reported(RULE, Level.ERROR, OPEN, "f2"),
            accepted=(accepted,),
        )
    )
    found = [json.loads(line) for line in text.splitlines()]
    assert [("f1", "fail", False), ("f2", "open", False), ("f3", "fail", True)] == [
        (each["fingerprint"], each["kind"], each["accepted"]) for each in found
    ]
    assert 1 == len({tuple(each) for each in found})
    assert text.endswith("}\n")


def test_nothing_found_is_no_line() -> None:
    """Where nothing was found there is no line, whatever could not be checked."""
    assert "" == json_lines(report_of())


@pytest.mark.parametrize("said", ["a\nb", "a\u2028b", "a\x85b", "a\x1b[2Jb", "a\udcffb", 'a"\\b'])
def test_text_of_a_file_cannot_make_a_line(said: str) -> None:
    """What stands in a file ends no line, moves no cursor and can be read back."""
    result = Result(said, AT)
    text = json_lines(report_of(Reported(RULE, Level.ERROR, result)))
    assert 1 == len(text.splitlines())
    assert text.removesuffix("\n").isprintable()
    assert said == json.loads(text)["message"]


def test_states_since_an_earlier_version() -> None:
    """Compared with an earlier version each result has its state; what is gone stands last, at its place in that version."""
    gone = Reported(
        RULE, Level.ERROR, Result("It was so.", Place(FILE, (), None, (3, 4))), "f9", state=State.ABSENT, counts=False
    )
    report = report_of(Reported(RULE, Level.ERROR, FULL, "f1", state=State.UNCHANGED, counts=False))._replace(
        since=Since("main", (gone,), {FILE: SourceText(FILE, "a\nb\n")}),
    )
    lines = [json.loads(line) for line in json_lines(report).splitlines()]
    assert [("unchanged", False, 2), ("absent", False, 2)] == [(line["state"], line["counts"], line["line"]) for line in lines]
    assert [2, 2] == [line["column"] for line in lines]
