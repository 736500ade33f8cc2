"""Cases: files of the library with something changed in them, or whole files laid into it, and what the check says of them.

A case is a difference to one file of `procedures/` (`NAME.diff`, unified), a whole file that is laid into the library
(`NAME.yaml`) or a folder of such files (`NAME/`).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from proclint.apps.files import gather, role
from proclint.engine import Input, Report, Reported, place_of
from proclint.results import Kind, Passed

ROOT = Path(__file__).parents[1]
LIBRARY = ROOT / "procedures"
ON = "2026-11-25"
_HEAD = re.compile(rb"--- a/(?P<file>[^\n]+)\n\+\+\+ b/(?P=file)\n")
_HUNK = re.compile(rb"@@ -(\d+)(?:,(\d+))? \+(\d+)(?:,(\d+))? @@\n((?:[ +-][^\n]*\n)+)")
_LINE = re.compile(rb"[^\n]*\n|[^\n]+")


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
    read = (each._replace(name=Path(each.name).relative_to(ROOT).as_posix()) for each in gather((LIBRARY,)))
    return {each.name: each for each in read}


def with_case(path: Path) -> dict[str, Input]:
    """Give the library with a case made in it or laid into it."""
    inputs = dict(library())
    if path.suffix == ".diff":
        change = read_change(path.read_bytes())
        old = inputs[change.file]
        assert old.data is not None
        inputs[change.file] = old._replace(data=change.made_in(old.data))
    else:
        inputs |= {name: Input(name, role(Path(name)), data) for name, data in whole_files(path)}
    return inputs


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
