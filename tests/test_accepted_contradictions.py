"""What a person accepted of a whole library stands apart, in `examine` and in `reconcile` alike, up to its last day."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from proclint.apps.cli import group
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, examine
from proclint.engine.reconcile import Reconciliation, reconcile_files
from proclint.engine.since import Versions, examine_since
from proclint.render.reconciled import reconciled_text
from proclint.render.weighed import reconciled_lines, reconciled_markdown, weighed_csv
from proclint.results import Result
from proclint.testing import completed

ON = "2026-11-25"
REGISTER = """\
sources:
  - {id: handbook, kind: handbook-or-bulletin, title: H, date: 2013-01-01}
  - {id: note, kind: supplier-note, title: N, date: 2014-01-01}
"""
TABLES = {
    "facts/handbook.csv": "make,model,years,key-cap,remote-cap\nCorvane,Halyard,2013-2017,4,4\nCorvane,Binnacle,2016-2021,6,3\n",
    "facts/note.csv": "make,model,years,key-cap,remote-cap\nCorvane,Halyard,2015,8,5\nCorvane,Binnacle,2016-2021,9,3\n",
}
ROWS = "make,model,years,key-cap\nCorvane,Halyard,2013-2017,4\nCorvane,Halyard,2015-2019,8\n"
BAD = "make,model,years,key-cap\nCorvane,Halyard,2013-2017,four\n"
JOB = completed("job.yaml", "slots: {key: 8}\n")
TABLE = {"facts/handbook.csv": "make,model,years,key-cap\nCorvane,Halyard,2013-2017,4\n"}


def accepting(rule: str, within: str, more: str = "", *, until: str = "2026-12-31") -> str:
    """Write an accepted result."""
    return f"- {{rule: {rule}, in: {within}{more}, because: The maker was asked., by: m-02, on: 2026-10-01, until: {until}}}\n"


def inputs(files: dict[str, str]) -> tuple[Input, ...]:
    """Give files by name, with a register."""
    roles = {"sources.yaml": "sources", "accepted.yaml": "accepted", "library.yaml": "library"}
    given = {"library.yaml": "name: A book\n", "sources.yaml": REGISTER, **files}
    kinds = {name: "facts" if name.endswith(".csv") else roles.get(name, "steps") for name in given}
    return tuple(Input(name, kinds[name], text.encode()) for name, text in given.items())


def reconciled(files: dict[str, str], *, on: str = ON) -> Reconciliation:
    """Reconcile some files."""
    return reconcile_files(inputs(files), standard(), known_rules(), on=on)


def examined(files: dict[str, str], *, on: str = ON) -> Report:
    """Examine some files by the rules that look at all of them together."""
    rules = tuple(rule for rule in known_rules() if rule.group in ("facts", "upkeep"))
    return examine(inputs(files), standard(), rules, on=on)


def told(found: Reconciliation) -> tuple[int, int, int, int]:
    """Give how much is contradicted, against the facts and without a meaning, and how much of that is accepted."""
    return sum(len(each.contradictions) for each in found.clusters), len(found.disagreements), len(found.bad), len(found.accepted)


def ids(report: Report) -> tuple[list[str], list[str]]:
    """Give the rules of what is left of some rules, and of what is accepted."""
    asked = {
        "sources-contradict",
        "overlapping-rows-conflict",
        "cap-differs-from-table",
        "cell-without-meaning",
        "accepted-in-vain",
    }
    left = [each.rule.id for each in report.results if each.rule.id in asked]
    return sorted(left), sorted(each.rule.id for each in report.accepted)


CASES = {
    "a contradiction": (TABLES, "sources-contradict", "note", (3, 0, 0), 3, 0),
    "of one model": (TABLES, "sources-contradict", "note, at: Halyard", (3, 0, 0), 2, 1),
    "of one column": (TABLES, "sources-contradict", "note, at: remote-cap", (3, 0, 0), 1, 2),
    "of one subject": (TABLES, "sources-contradict", "note, subject: key-cap", (3, 0, 0), 2, 1),
    "in another source": (TABLES, "sources-contradict", "handbook", (3, 0, 0), 0, 2),
    "by another rule": (TABLES, "overlapping-rows-conflict", "note", (3, 0, 0), 0, 2),
    "between rows": ({"facts/handbook.csv": ROWS}, "overlapping-rows-conflict", "handbook", (1, 0, 0), 1, 0),
    "against the facts": ({**TABLE, "job.yaml": JOB}, "cap-differs-from-table", "example", (0, 1, 0), 1, 0),
    "without a meaning": ({"facts/handbook.csv": BAD}, "cell-without-meaning", "handbook", (0, 0, 1), 1, 0),
}


@pytest.mark.parametrize("name", CASES)
def test_what_is_accepted_counts_no_more(name: str) -> None:
    """`reconcile` and `examine` accept the same findings, for the model, column and subject that are named."""
    files, rule, within, found, taken, still = CASES[name]
    assert (*found, 0) == told(reconciled(files))
    accepted = {**files, "accepted.yaml": accepting(rule, within)}
    after = reconciled(accepted)
    assert taken == len(after.accepted)
    assert sum(found) - taken == sum(told(after)[:3])
    assert (sum(found) > taken) == after.fails
    left, silent = ids(examined(accepted))
    assert [rule] * taken == silent
    assert (taken == 0) == ("accepted-in-vain" in left)
    # What stands between the same rows is one result.
    assert still == len([each for each in left if each != "accepted-in-vain"])


def test_an_acceptance_ends() -> None:
    """It holds on its last day; on the next one the contradiction counts again, for both commands."""
    files = {**TABLES, "accepted.yaml": accepting("sources-contradict", "note", until="2026-12-31")}
    assert not reconciled(files, on="2026-12-31").fails
    after = reconciled(files, on="2027-01-01")
    assert ((3, 0, 0, 0), True) == (told(after), after.fails)
    assert "sources-contradict" in ids(examined(files, on="2027-01-01"))[0]
    assert [] == ids(examined(files, on="2027-01-01"))[1]


def test_a_row_put_before_it_changes_nothing() -> None:
    """A contradiction is known again where a row was put into the table before it: to a gate it is not new."""
    head, *rows = TABLES["facts/note.csv"].splitlines()
    longer = "\n".join((head, "Ostrel,Tarn,2015-2020,5,4", *rows, ""))
    rules = tuple(rule for rule in known_rules() if rule.id == "sources-contradict")
    report = examine_since(
        Versions(inputs({**TABLES, "facts/note.csv": longer}), inputs(TABLES), "before"), standard(), rules, on=ON
    )
    assert report.results
    assert [] == [each for each in report.results if each.counts]


def test_a_change_accepts_nothing_itself() -> None:
    """What a change brings and accepts in one breath keeps the gate shut."""
    before = {**TABLES, "facts/note.csv": TABLES["facts/handbook.csv"]}
    now = {**TABLES, "accepted.yaml": accepting("sources-contradict", "note")}
    report = examine_since(Versions(inputs(now), inputs(before), "before"), standard(), known_rules(), on=ON)
    assert {"sources-contradict", "bar-lowered"} <= {each.rule.id for each in report.results if report.is_failing(each)}
    assert () == report.accepted


def test_every_form_says_who_took_it_and_why() -> None:
    """The terminal, Markdown and JSON Lines tell what is accepted, by whom, until when and why; the table holds facts alone."""
    files = {
        **TABLES,
        "job.yaml": JOB,
        "facts/other.csv": BAD,
        "accepted.yaml": accepting("sources-contradict", "note")
        + accepting("cap-differs-from-table", "example")
        + accepting("cell-without-meaning", "other"),
    }
    found = reconciled(files)
    assert (0, 0, 0, 5) == told(found)
    shown = reconciled_text(found)
    for words in (
        "accepted: cannot all be true: key-cap 4, key-cap 8\n  bites at   Corvane Halyard 2015\n",
        "accepted: against the facts: 'example' says key-cap 8\n",
        "accepted: not read: facts/other.csv, row 2: 'key-cap' says 'four', and that means nothing.\n",
        "  taken      by m-02 until 2026-12-31: The maker was asked.\n",
        "contradictions: 0; of procedures against the facts: 0; not decided: 0; accepted: 5.\n",
    ):
        assert words in shown
    assert "  mend  " not in shown
    lines = [json.loads(line) for line in reconciled_lines(found).splitlines()]
    taken = [each for each in lines if each.get("accepted")]
    assert ["contradiction"] * 3 + ["against-facts", "not-read"] == [each["kind"] for each in taken]
    assert {("m-02", "2026-12-31", "The maker was asked.")} == {(each["by"], each["until"], each["because"]) for each in taken}
    table = reconciled_markdown(found)
    assert 5 == table.count("| by m-02 until 2026-12-31: The maker was asked. |")
    assert "| against the facts: key-cap 8 | Corvane Halyard 2013-2017, region-1" in table
    assert "| not read: facts/other.csv, row 2 |" in table
    assert "m-02" not in weighed_csv(found)


def test_what_lacks_a_reason_is_told_so() -> None:
    """An acceptance without a name or a reason holds, as `examine` holds it, and says that they are missing."""
    accepted = "- {rule: sources-contradict, in: note, on: 2026-10-01, until: 2026-12-31}\n"
    assert "by nobody who is named until 2026-12-31: nobody says why" in reconciled_text(
        reconciled({**TABLES, "accepted.yaml": accepted})
    )


def crash(*_: object) -> Iterator[Result]:
    """Break down, as a rule with a fault does."""
    nothing: dict[str, Result] = {}
    yield nothing["not there"]


def test_a_rule_that_breaks_down_accepts_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the rule broke down what it would tell still counts; that is a fault of our own, with a status of its own."""
    rules = tuple(rule._replace(check=crash) if rule.id == "sources-contradict" else rule for rule in known_rules())
    files = {**TABLES, "accepted.yaml": accepting("sources-contradict", "note")}
    found = reconcile_files(inputs(files), standard(), rules, on=ON)
    assert ((3, 0, 0, 0), True) == (told(found), found.fails)
    assert "fault of proclint: the rule sources-contradict broke down (KeyError: 'not there'" in reconciled_text(found)
    for each in inputs({**files, "job.yaml": JOB}):
        (tmp_path / each.name).parent.mkdir(exist_ok=True)
        (tmp_path / each.name).write_bytes(each.data or b"")
    monkeypatch.setattr("proclint.apps.check.known_rules", lambda: rules)
    assert 3 == CliRunner().invoke(group, ["reconcile", str(tmp_path), "--on", ON]).exit_code


@pytest.mark.parametrize(
    ("name", "text", "why"),
    [
        ("sources.yaml", "sources: nobody\n", "its form is wrong; 'proclint examine' says where"),
        ("accepted.yaml", "rule: key-cap\n", "its form is wrong; 'proclint examine' says where"),
        ("job.yaml", JOB.replace("steps", "stairs"), "its form is wrong; 'proclint examine' says where"),
        ("facts/note.csv", "make,model\nCorvane\n", "some of its rows cannot be read; 'proclint examine' says which"),
    ],
)
def test_what_could_not_be_read_is_told(name: str, text: str, why: str) -> None:
    """A file that does not count because of its form is named in every form, and the check does not end as if all held."""
    found = reconciled({**TABLE, name: text})
    assert [(name, why)] == [(each.file, each.why) for each in found.not_checked]
    assert found.fails
    assert f"not read: {name}: {why}.\n" in reconciled_text(found)
    assert f"| not read: {name} |  | {why} |  |" in reconciled_markdown(found).replace("\\", "")
    assert {"kind": "not-read", "file": name, "row": 0, "column": "", "message": why}.items() <= json.loads(
        reconciled_lines(found).splitlines()[0]
    ).items()


def test_a_file_that_is_no_text_is_told() -> None:
    """A file whose bytes are no text is named."""
    given = (*inputs(TABLE), Input("job.yaml", "steps", b"\xff\xfe\x00\xd8"))
    found = reconcile_files(given, standard(), known_rules(), on=ON)
    assert [("job.yaml", "it cannot be read")] == [(each.file, each.why) for each in found.not_checked]
