"""A fingerprint survives an edit elsewhere, and is no other result's (SARIF 2.1.0, 3.27.17)."""

from collections.abc import Iterator

import pytest

from proclint import rules
from proclint.engine import Reported
from proclint.engine.fingerprint import distinct, fingerprint
from proclint.results import Harm, Level, Result
from proclint.rule import Rule, Scope, rules_in
from proclint.source import Limits, Place, SourceText, decode, read_yaml
from proclint.testing import Example, check

RULES = rules_in(rules)

STEPS = """\
steps:
  first: {do: [open-session, wait 5 s], fails: gone}
  second: {do: close-session, then: lost}
endings:
  gone: {kind: as-found, tell: Nothing was changed.}
"""


def marks_of(text: str) -> dict[tuple[str, str], str]:
    """Give the fingerprint of each result on a text by the rule and the subject."""
    report = check(Example(RULES[0], "bad", 1, text, ()).files, RULES)
    return {(each.rule.id, each.result.subject): each.fingerprint for each in report.results}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("steps:\n", "# A line.\n\n# Another.\nsteps:\n"),
        ("steps:\n", "steps:\n  before: {do: wait 5 s}\n"),
        ("  first:", "  begin:"),
        ("wait 5 s], fails", "wait 9 s, wait 5 s], fails"),
    ],
    ids=["lines above", "a step above", "another step's name", "another step's lines"],
)
def test_fingerprint_survives_an_edit_elsewhere(old: str, new: str) -> None:
    """The fingerprint of a result is the same when something else in the file changes (3.27.17)."""
    key = ("way-to-nowhere", "lost")
    assert old in STEPS
    assert marks_of(STEPS)[key] == marks_of(STEPS.replace(old, new))[key]


def test_fingerprint_changes_with_the_step() -> None:
    """The same fault at another step has another fingerprint."""
    key = ("way-to-nowhere", "lost")
    assert marks_of(STEPS)[key] != marks_of(STEPS.replace("  second:", "  last:"))[key]


def root_of(text: str) -> Place:
    """Read a text and give the place of its top."""
    source = decode("a.yaml", text.encode(), Limits())
    assert isinstance(source, SourceText)
    return read_yaml(source, Limits()).at


def test_fingerprint_knows_lines_by_verb() -> None:
    """A line of a step is known by its verb and its ordinal among those, not by its number."""
    first = root_of("do: [wait 5 s, look badge, look badge]")
    second = root_of("do: [look badge, look lamp, wait 5 s]")
    marks = {number: fingerprint("r", "", "a", first / "do" / number, first.node) for number in range(3)}
    others = [fingerprint("r", "", "a", second / "do" / number, second.node) for number in range(3)]
    assert [marks[1], marks[2], marks[0]] == others


def test_equal_fingerprints_are_told_apart() -> None:
    """Results with one fingerprint get an ordinal by place, and the others keep theirs."""
    places = [Place("a.yaml", (), None, (start, start + 1)) for start in (7, 1, 4)]
    found = [Reported(RULES[0], Level.ERROR, Result("So.", place), "f") for place in places]
    other = Reported(RULES[0], Level.ERROR, Result("So.", places[2]), "g")
    assert ["f-3", "f", "f-2", "g"] == [each.fingerprint for each in distinct([*found, other])]


def twice(*_given: object) -> Iterator[Result]:
    """Give two results on one thing."""
    yield Result("It is so.", Place.of_file("example.yaml"))
    yield Result("It is not so.", Place.of_file("example.yaml"))


def test_no_two_results_of_a_check_have_one_fingerprint() -> None:
    """Two results of one rule on one thing are told apart by the check itself, in a file and in a library."""
    for scope in (Scope.FILE, Scope.LIBRARY):
        rule = Rule("said-twice", scope, (Level.ERROR,), Harm.READER, "graph", "A page.", twice)
        first, second = check({"example.yaml": STEPS}, (rule,)).results
        assert {first.fingerprint, second.fingerprint} == {
            first.fingerprint.removesuffix("-2"),
            second.fingerprint,
        }
        assert first.fingerprint != second.fingerprint


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("[{do: look badge, tries: 1}, {do: wait 5 s}]", "[{do: wait 9 s}, {do: look lamp}]"),
        ("[{do: [look badge, wait 5 s]}, {do: wait 5 s}]", "[{do: [wait 9 s, look lamp]}, {do: [look lamp]}]"),
        ("[{look: badge}, {wait: 5 s}]", "[{wait: 9 s}, {look: lamp}]"),
    ],
    ids=["a line with more to it", "a step's lines", "a line in its long form"],
)
def test_fingerprint_knows_the_verb_in_each_form(one: str, other: str) -> None:
    """The verb of a line is found in whatever form it is written, and tells where the line went."""
    first, second = root_of(f"do: {one}"), root_of(f"do: {other}")
    marks = [fingerprint("r", "", "a", root / "do" / number, root.node) for root in (first, second) for number in (0, 1)]
    assert (marks[0], marks[1]) == (marks[3], marks[2])
    assert marks[0] != marks[1]


def test_fingerprint_of_what_is_not_there() -> None:
    """What names no thing of the file still has a fingerprint of its own, by the names that lead to it."""
    root = root_of("do: [[], {}]")
    paths = [root / "do", root / "do" / 0, root / "do" / 7, root / "ways" / "fails", root / "do" / 0 / "fails"]
    marks = [fingerprint("r", "", "a", place, root.node) for place in paths]
    assert len(set(marks)) == len(paths)
    assert fingerprint("r", "", "a", paths[0], None) != fingerprint("r", "", "b", paths[0], None)
