"""The Markdown summary, as an independent renderer (markdown-it-py, CommonMark preset) reads it."""

from collections.abc import Iterator

from markdown_it import MarkdownIt

from proclint.engine import NotChecked, OwnFault, Report, Reported, Since
from proclint.render.markdown import MOST_BYTES, markdown
from proclint.render.text import CLOSING
from proclint.results import Harm, Kind, Level, Result, State
from proclint.rule import Rule, Scope
from proclint.source import Place, SourceText


def nothing(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR, Level.NOTE), Harm.NO_KEY, "graph", "A page.", nothing)
AT = Place("a.yaml", ("one",), None, (5, 6))


def report_of(*results: Reported) -> Report:
    """Make a report on two files."""
    return Report(results=results, files=("a.yaml", "b.yaml"), rules=(RULE,), texts={"a.yaml": SourceText("a.yaml", "one: 1\n")})


def new(number: int, level: Level = Level.ERROR, kind: Kind = Kind.FAIL) -> Reported:
    """Make a new result."""
    return Reported(RULE, level, Result(f"Number {number} is é.", AT, kind=kind), f"f{number}", state=State.NEW)


def test_clean_report() -> None:
    """Of a clean library it says that the gate opens, what was checked, and what a clean result is not."""
    expected = (
        "### proclint: The gate opens: nothing at or above error.\n\n"
        "Checked: 2 files by 1 rules: 0 errors, 0 warnings, 0 notes, 0 undecided; accepted: 0.\n\n"
        f"{CLOSING}\n"
    )
    assert expected == markdown(report_of())


def test_results_are_folded() -> None:
    """Results are folded by rule, the most dangerous first, and each stands in code as on the terminal; old ones are not told."""
    old = new(4)._replace(state=State.UNCHANGED, counts=False)
    report = report_of(new(1), new(2), new(3, Level.NOTE, Kind.OPEN), old)
    rendered = MarkdownIt("commonmark").render(markdown(report))
    assert "<h3>proclint: The gate stays shut: 3 results at or above error.</h3>" in rendered
    folds = rendered.split("<details>")[1:]
    assert ["error: no-such-way (2 times)", "open: no-such-way"] == [each.partition("</summary>")[0][10:] for each in folds]
    assert 2 == folds[0].count('<pre><code class="language-text">error')
    assert "a.yaml:1:6: one: 1" in folds[0]
    assert "Number 4" not in rendered


def test_what_else_there_is_to_know() -> None:
    """The earlier version, what was not checked and what broke down have their lines."""
    more = report_of(new(1))._replace(
        since=Since("main", (new(2),), {}),
        not_checked=(NotChecked("a.yaml", "its steps"),),
        own_faults=(OwnFault("no-such-way", "a.yaml", "ValueError"),),
    )
    said = markdown(more)
    assert "The gate stays shut: 1 new result at or above error." in said
    assert "Since the version compared with: 1 new, 0 unchanged, 0 updated, 1 gone." in said
    assert "Parts that could not be checked: 1." in said
    assert "Rules that broke down, a fault of proclint: 1." in said


def test_bound() -> None:
    """With more results than fit, it stays within its bound in bytes, is whole, and counts what it left out."""
    others = [RULE._replace(id=f"rule-{number}") for number in range(1000)]
    report = report_of(*(new(number)._replace(rule=rule) for number, rule in enumerate(others)))
    said = markdown(report)
    assert MOST_BYTES - 500 < len(said.encode()) <= MOST_BYTES
    shown = said.count("<details>")
    assert said.count("</details>") == shown
    assert f"{1000 - shown} more did not fit in here; the other reports hold all." in said
    assert said.endswith(f"{CLOSING}\n")
