"""The summary of results over `procedures/` is checked in, so that a change of a rule shows what it does to real files."""

import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.apps.files import gather
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, Reported, examine
from proclint.model import Block, Flow
from proclint.results import Kind, Level

ROOT = Path(__file__).parents[1]
LIBRARY = ROOT / "procedures"
SUMMARY = Path(__file__).parent / "corpus.txt"
ON = "2026-11-25"
RENEW = "PROCLINT_RENEW=1 python -m pytest tests/test_corpus.py"
COLUMNS = ("steps", "nodes", "windows", "errors", "warnings", "notes", "open")
HEAD = f"""\
# What the check of procedures/ gives on {ON}. Nodes are steps, endings and exits with all blocks expanded; `-` stands where
# a file has none. Behind the numbers: how many results of which rule. To renew this file: {RENEW}
"""


def inputs() -> tuple[Input, ...]:
    """Read the library, each file by its name from the root of the project."""
    return tuple(each._replace(name=Path(each.name).relative_to(ROOT).as_posix()) for each in gather((LIBRARY,)))


def flows(given: tuple[Input, ...]) -> dict[str, Flow]:
    """Give the procedure or block of each file that holds one."""
    studies = [study_file(each.name, each.content, each.kind, standard(), on=ON) for each in given]
    return {study.file: study.flow for study in studies if study.flow is not None}


def summary(given: tuple[Input, ...], report: Report) -> str:
    """Write a line for each file and one for all."""
    known = flows(given)
    shelf = Shelf({flow.id: flow for flow in known.values() if isinstance(flow, Block)}, standard())
    rows = [(file, *_row(file, known.get(file), shelf, report)) for file in sorted(report.files)]
    sums = [sum(int(row[at]) for row in rows if row[at] != "-") for at in range(1, len(COLUMNS) + 1)]
    rows.append((f"{len(rows)} files", *map(str, sums), ""))
    widest = max(len(row[0]) for row in rows)
    lines = [_line(row, widest) for row in (("file", *COLUMNS, ""), *rows)]
    return HEAD + "".join(f"{line.rstrip()}\n" for line in lines)


def _row(file: str, flow: Flow | None, shelf: Shelf, report: Report) -> Iterator[str]:
    if flow is None:
        yield from "---"
    else:
        graph = Study(flow, shelf, ON, Limits()).graph
        yield from map(str, (len(flow.steps), len(graph.nodes), len(flow.windows)))
    found = [each for each in report.results if each.result.at.file == file]
    decided = Counter(each.level for each in found if each.result.kind is Kind.FAIL)
    yield from (str(decided[level]) for level in Level)
    yield str(len(found) - decided.total())
    yield _by_rule(found)


def _by_rule(found: list[Reported]) -> str:
    return ", ".join(f"{number} {rule}" for rule, number in sorted(Counter(each.rule.id for each in found).items()))


def _line(row: tuple[str, ...], widest: int) -> str:
    name, *numbers, rules = row
    return f"{name:<{widest}}" + "".join(f"{each:>10}" for each in numbers) + f"  {rules}"


def test_summary_is_current() -> None:
    """The checked-in summary says what the check of the library gives today; with PROCLINT_RENEW=1 it is written anew."""
    given = inputs()
    now = summary(given, examine(given, standard(), known_rules(), on=ON))
    if os.environ.get("PROCLINT_RENEW") == "1":
        SUMMARY.write_text(now, encoding="utf-8", newline="\n")
    assert SUMMARY.read_text(encoding="utf-8") == now, (
        f"The library or a rule has changed what tests/corpus.txt says. Look whether that was meant, then renew it: {RENEW}"
    )


def test_summary_tells_results() -> None:
    """A fault in one file of the library shows in that file's line of the summary, and in no other."""
    given = inputs()
    file = "procedures/quillon/tang-add-key.yaml"
    broken = tuple(each._replace(data=_unpinned(each.data)) if each.name == file else each for each in given)
    before, after = (summary(some, examine(some, standard(), known_rules(), on=ON)).split("\n") for some in (given, broken))
    changed = [line.split() for old, line in zip(before, after, strict=True) if old != line]
    assert [file, str(len(given))] == [line[0] for line in changed]
    assert ["0", "1", "0", "0", "1", "block-not-pinned"] == changed[0][-6:]


def _unpinned(data: bytes | None) -> bytes:
    assert data is not None
    assert b"follow: authority 3" in data
    return data.replace(b"follow: authority 3", b"follow: authority")


def test_library_is_within_its_bounds() -> None:
    """The library gives no error, and no file of it more than 2 warnings and 5 notes."""
    given = inputs()
    report = examine(given, standard(), known_rules(), on=ON)
    assert () == report.own_faults
    assert 0 == report.count(Level.ERROR) + report.undecided
    for level, most in ((Level.WARNING, 2), (Level.NOTE, 5)):
        counts = Counter(each.result.at.file for each in report.results if each.level is level)
        assert [] == [file for file, number in counts.items() if number > most]
