"""Annotations as GitHub documents its workflow commands (docs.github.com, "Workflow commands for GitHub Actions")."""

from collections.abc import Iterator

from proclint.engine import Report, Reported
from proclint.render.annotations import annotations
from proclint.results import Harm, Kind, Level, Result, State
from proclint.rule import Rule, Scope
from proclint.source import Place, SourceText


def nothing(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR, Level.NOTE), Harm.NO_KEY, "graph", "A page.", nothing)
NAME = "./pro,cedures/a: 1%.yaml"
TEXTS = {NAME: SourceText(NAME, "one: 1\ntwo: 22\n")}


def written(level: Level, result: Result, *, counts: bool = True) -> str:
    """Write the annotation of one result."""
    reported = Reported(RULE, level, result, "f", state=State.NEW, counts=counts)
    return annotations(Report(results=(reported,), rules=(RULE,), texts=TEXTS))


def test_place_and_words() -> None:
    """An annotation names file, lines and columns, the rule, and what, why and what to change; signs are escaped."""
    result = Result("It is 100 % so, or: not", Place(NAME, ("two",), None, (12, 14)), why="Why.", change="Mend it.")
    head = "::error file=pro%2Ccedures/a%3A 1%25.yaml,line=2,endLine=2,col=6,endColumn=8,title=no-such-way"
    assert f"{head}::It is 100 %25 so, or: not. Why. Mend it.\n" == written(Level.ERROR, result)


def test_columns_only_within_a_line() -> None:
    """Where more lines than one are meant there is no column."""
    result = Result("So.", Place(NAME, (), None, (0, 14)))
    assert "line=1,endLine=2,title=" in written(Level.WARNING, result)
    assert written(Level.WARNING, result).startswith("::warning ")


def test_levels() -> None:
    """A note is a notice; what is open and guards life or access is an error; a file without text has its first line."""
    at = Place.of_file("gone.yaml")
    expected = "::notice file=gone.yaml,line=1,endLine=1,col=1,endColumn=1,title=no-such-way::So.\n"
    assert expected == written(Level.NOTE, Result("So.", at))
    assert written(Level.NOTE, Result("So.", at, kind=Kind.OPEN)).startswith("::error ")


def test_only_what_counts() -> None:
    """What was there before has no annotation."""
    assert "" == written(Level.ERROR, Result("So.", Place.of_file("a.yaml")), counts=False)
