"""Each defective file gives exactly the results that stand beside it, and no other file of the library gives any.

A case in `tests/defective` is a difference to one file of `procedures/` (`NAME.diff`, unified), a whole file that is laid
into the library (`NAME.yaml`) or a folder of such files (`NAME/`). `NAME.expected` holds what the check of the whole
library with it must say, most dangerous first: a line `# ...` tells what the contributor did; each result is
`file:line:column: level rule[: subject] message`, its way and what else belongs to it on indented lines; last comes what could
not be checked.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pytest

from proclint.apps.files import gather, role
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, Reported, examine, place_of
from proclint.results import Kind, Passed
from proclint.rule import Rule

ROOT = Path(__file__).parents[1]
LIBRARY = ROOT / "procedures"
FOLDER = Path(__file__).parent / "defective"
ON = "2026-11-25"
_HEAD = re.compile(rb"--- a/(?P<file>[^\n]+)\n\+\+\+ b/(?P=file)\n")
_HUNK = re.compile(rb"@@ -(\d+)(?:,(\d+))? \+(\d+)(?:,(\d+))? @@\n((?:[ +-][^\n]*\n)+)")
_LINE = re.compile(rb"[^\n]*\n|[^\n]+")

# A rule, and a case that is not what it should be without it.
SHOWN_BY = {
    "enters-open-window": "begins-at-second-key.diff",
    "retry-without-limit": "tries-taken-out.diff",
    "failure-leads-to-success": "valet-without-limit-handed-over.diff",
    "no-way-when-silent": "silence-sends-away.diff",
    "unreachable-step": "fallback-not-wired.diff",
    "branch-not-exclusive": "two-ways-at-the-cap.diff",
    "branch-not-exhaustive": "cap-left-out.diff",
    "exit-not-wired": "exit-stop-forgotten.diff",
    "block-not-found": "block-at-older-version.diff",
    "block-not-pinned": "block-not-pinned.diff",
    "compound-step": "session-in-the-learn-step.diff",
    "spent-in-a-ring": "tries-and-spent-turned-to-then.diff",
    "duplicate-key": "two-steps-of-one-name.diff",
    "unknown-field-name": "tries-mistyped.diff",
    "customer-data-in-file": "telephone-in-ending.diff",
    "duplicate-id": "id-copied.diff",
}


@dataclass(frozen=True, slots=True)
class Hunk:
    """One place of a difference: the first line there, from 0, and the lines with their marks."""

    first: int
    lines: tuple[bytes, ...]

    def with_marks(self, *marks: bytes) -> list[bytes]:
        """Give the lines that bear one of the marks: ` ` kept, `-` taken out, `+` put in."""
        return [line[1:] for line in self.lines if line[:1] in marks]


@dataclass(frozen=True, slots=True)
class Change:
    """A difference to one file."""

    file: str
    hunks: tuple[Hunk, ...]

    @property
    def is_of_one_line(self) -> bool:
        """Whether one line stands in the place of another, and nothing else differs."""
        return [1, 1] == [sum(len(hunk.with_marks(mark)) for hunk in self.hunks) for mark in (b"-", b"+")]

    def made_in(self, old: bytes) -> bytes:
        """Give the file with the change made; what is there must be what the difference was made from, to the byte."""
        lines = _LINE.findall(old)
        for hunk in reversed(self.hunks):
            before = hunk.with_marks(b" ", b"-")
            behind = hunk.first + len(before)
            assert before == lines[hunk.first : behind], (
                f"{self.file} has changed around line {hunk.first + 1}: make the case anew."
            )
            lines[hunk.first : behind] = hunk.with_marks(b" ", b"+")
        return b"".join(lines)


def read_change(diff: bytes) -> Change:
    """Read a unified difference to one file, and see that its numbers are those of its lines."""
    head = _HEAD.match(diff)
    assert head is not None, "A difference begins with '--- a/FILE' and '+++ b/FILE', of one file."
    hunks = []
    at = head.end()
    while at < len(diff):
        found = _HUNK.match(diff, at)
        assert found is not None, f"This is no part of a difference: {diff[at : at + 60]!r}"
        hunk = Hunk(int(found[1]) - 1, tuple(_LINE.findall(found[5])))
        counts = [len(hunk.with_marks(b" ", mark)) for mark in (b"-", b"+")]
        assert [int(found[2] or 1), int(found[4] or 1)] == counts
        hunks.append(hunk)
        at = found.end()
    return Change(head["file"].decode(), tuple(hunks))


def whole_files(path: Path) -> Iterator[tuple[str, bytes]]:
    """Give the files of a case under the names that they have in the library."""
    for each in sorted(path.rglob("*")) if path.is_dir() else [path]:
        if each.is_file():
            inside = each.relative_to(path) if path.is_dir() else Path(path.name)
            yield (Path(LIBRARY.name) / inside).as_posix(), each.read_bytes()


@cache
def library() -> dict[str, Input]:
    """Read the library, each file by its name from the root of the project."""
    read = (replace(each, name=Path(each.name).relative_to(ROOT).as_posix()) for each in gather((LIBRARY,)))
    return {each.name: each for each in read}


def with_case(path: Path) -> dict[str, Input]:
    """Give the library with a case made in it or laid into it."""
    inputs = dict(library())
    if path.suffix == ".diff":
        change = read_change(path.read_bytes())
        old = inputs[change.file]
        assert old.data is not None
        inputs[change.file] = replace(old, data=change.made_in(old.data))
    else:
        inputs |= {name: Input(name, role(Path(name)), data) for name, data in whole_files(path)}
    return inputs


def said_of(path: Path, rules: tuple[Rule, ...]) -> str:
    """Check the library with a case by some rules; give the results as an `.expected` file writes them."""
    report = examine(_looked_at(path, with_case(path)), standard(), rules, on=ON)
    assert () == report.own_faults
    return "".join(f"{line}\n" for line in written(report))


def _looked_at(path: Path, inputs: dict[str, Input]) -> Iterator[Input]:
    """Give the files of a case, with those that it leaves alone as context where it can do nothing to them.

    What a case does to other files than its own is expected of it, or it changes a block or a table: then all are looked at.
    """
    changed = {name for name, each in inputs.items() if each is not library().get(name)}
    named = {line.split(":")[0] for line in expected_of(path).splitlines() if line.startswith(LIBRARY.name)}
    is_alone = named <= changed and all(inputs[name].kind == "steps" and "/blocks/" not in name for name in changed)
    for name, each in inputs.items():
        is_left_out = is_alone and name not in changed and each.kind == "steps"
        yield replace(each, is_context=True) if is_left_out else each


def written(report: Report) -> Iterator[str]:
    """Write each result, and what was not checked, in lines."""
    for each in report.results:
        yield from _written(report, each)
    for left_out in report.not_checked:
        yield f"not checked: {left_out.file}: {left_out.why}"


def _written(report: Report, each: Reported) -> Iterator[str]:
    line, column = place_of(report, each.result.at)
    level = "open" if each.result.kind is Kind.OPEN else each.level.value
    name = each.rule.id + (f": {each.result.subject}" if each.result.subject else "")
    yield f"{each.result.at.file}:{line}:{column}: {level} {name} {each.result.message}"
    if each.result.trace:
        yield f"  way: {', '.join(map(_stop, each.result.trace))}"
    if each.also:
        yield f"  also: {len(each.also)} more from this cause"
    if each.reaches:
        yield f"  reaches: {', '.join(each.reaches)}"


def _stop(stop: Passed) -> str:
    return stop.step if stop.outcome in ("", "done") else f"{stop.step} ({stop.outcome})"


def expected_of(path: Path) -> str:
    """Give what a case must say: its `.expected` file without the lines that tell about it."""
    beside = path.with_name(f"{path.stem}.expected")
    return "".join(line for line in beside.read_text(encoding="utf-8").splitlines(keepends=True) if not line.startswith("# "))


CASES = sorted(path for path in FOLDER.iterdir() if path.suffix != ".expected")


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.name)
def test_case_gives_exactly_what_is_expected(path: Path) -> None:
    """The library with a defective file gives the results that stand beside it: no other, no fewer, no others elsewhere."""
    assert expected_of(path) == said_of(path, known_rules())


def test_library_is_clean_without_a_case() -> None:
    """What a case gives comes from the case: the library as it is gives nothing."""
    assert [] == list(written(examine(library().values(), standard(), known_rules(), on=ON)))


@pytest.mark.parametrize(("rule", "name"), SHOWN_BY.items(), ids=SHOWN_BY)
def test_case_fails_without_its_rule(rule: str, name: str) -> None:
    """A case that shows a rule is not what it should be when the rule is taken out, and is when it is put back."""
    without = tuple(each for each in known_rules() if each.id != rule)
    assert len(known_rules()) - 1 == len(without)
    assert expected_of(FOLDER / name) != said_of(FOLDER / name, without)
    assert expected_of(FOLDER / name) == said_of(FOLDER / name, known_rules())


def test_enough_cases() -> None:
    """There are at least 40 cases, and at least 25 of them are a file of the library with one line changed."""
    changes = [read_change(path.read_bytes()) for path in CASES if path.suffix == ".diff"]
    assert len(CASES) >= 40
    assert len([change for change in changes if change.is_of_one_line]) >= 25


def test_each_rule_is_shown() -> None:
    """Every rule gives a result in some case."""
    shown = {
        rule
        for path in CASES
        for rule in re.findall(r"^\S+: (?:error|warning|note|open) ([a-z-]+)", expected_of(path), re.MULTILINE)
    }
    assert {rule.id for rule in known_rules()} == shown


def test_each_case_is_whole() -> None:
    """Each case has its results beside it, begins them with what the contributor did, and names at least one."""
    beside = {path.stem for path in FOLDER.glob("*.expected")}
    assert {path.stem for path in CASES} == beside
    assert len(CASES) == len(beside)
    assert [] == [path.name for path in CASES if not path.with_name(f"{path.stem}.expected").read_text("utf-8").startswith("# ")]
    assert [] == [path.name for path in CASES if not expected_of(path)]


@pytest.mark.parametrize("old", [b"a\nx\nc\n", b"a\nb\n", b"z\na\nb\nc\n", b"a\r\nb\nc\n"], ids=["other", "end", "moved", "cr"])
def test_change_fits_exactly_or_not_at_all(old: bytes) -> None:
    """A difference is made in the file that it was made from, and in no file that is only like it."""
    change = read_change(b"--- a/f\n+++ b/f\n@@ -1,3 +1,3 @@\n a\n-b\n+B\n c\n")
    assert b"a\nB\nc\n" == change.made_in(b"a\nb\nc\n")
    with pytest.raises(AssertionError, match="make the case anew"):
        change.made_in(old)
