"""Failure stories as pairs: a defective file that is caught by the rule the story calls for, and a mended twin that is silent.

A folder of `tests/stories`, `NN-short-name`, holds one. `defective.*` and `mended.*` are cases as `tests/cases.py` has them: a
difference to a file of the library, a whole file, or a folder of files; without a `mended` the file of the library as it stands
is the twin. `story.yaml` tells in a sentence what happened, and by which rules it is `caught`: each result that the
defective half gives, with words of the line at which it stands, the rule of the story first.

`python -m tests.pairs` prints the table of all pairs.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from proclint.apps.files import role
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, examine, place_of
from tests.cases import LIBRARY, ON, library, with_case

FOLDER = Path(__file__).parent / "stories"
HEAD = """\
# What happened, which rule catches the file that let it happen and where, and whether the twin that is mended is silent.
# A story is told by its number. To renew this file: PROCLINT_RENEW=1 python -m pytest tests/test_stories.py
"""


@dataclass(frozen=True, slots=True)
class Catch:
    """A result: its rule and subject, the file and line at which it stands, and what is written there."""

    rule: str
    file: str
    line: int
    words: str


@dataclass(frozen=True, slots=True)
class Story:
    """What happened, and what has to catch it: rules, each with words of the line."""

    folder: Path
    told: str
    caught: tuple[tuple[str, str], ...]

    @property
    def number(self) -> int:
        """The number of the story."""
        return int(self.folder.name.partition("-")[0])


def stories() -> list[Story]:
    """Read all stories, in order."""
    return [_story(folder) for folder in sorted(FOLDER.iterdir()) if folder.is_dir()]


def _story(folder: Path) -> Story:
    read = yaml.safe_load((folder / "story.yaml").read_text(encoding="utf-8"))
    assert {"story", "caught"} == set(read)
    return Story(folder, " ".join(read["story"].split()), tuple((each["rule"], str(each["line"])) for each in read["caught"]))


@cache
def catches(folder: Path, half: str) -> tuple[Catch, ...]:
    """Check one half of a story, `defective` or `mended`, by all rules; give its results, the gravest first."""
    changed = _changed(folder)
    inputs = _with_half(folder, half)
    return _checked(changed) if inputs == library() else _of(inputs, changed, half)


@cache
def _checked(changed: frozenset[str]) -> tuple[Catch, ...]:
    """Check some files of the library as it stands: the twin of many differences."""
    return _of(library(), changed, "mended")


def _of(inputs: dict[str, Input], changed: frozenset[str], half: str) -> tuple[Catch, ...]:
    report = examine(_looked_at(inputs, changed), standard(), known_rules(), on=ON)
    assert () == report.own_faults
    # Where the form is at fault the steps are not looked at; a twin that is silent for that would prove nothing.
    assert half == "defective" or () == report.not_checked
    return tuple(_caught(report))


def _caught(report: Report) -> Iterator[Catch]:
    for each in report.results:
        at, subject = each.result.at, each.result.subject
        line = place_of(report, at)[0]
        words = report.texts[at.file].text.splitlines()[line - 1]
        yield Catch(each.rule.id + (f": {subject}" if subject else ""), at.file, line, words.strip())


def _changed(folder: Path) -> frozenset[str]:
    """Name the files that one half of a story or the other has otherwise than the library."""
    halves = (_with_half(folder, half) for half in ("defective", "mended"))
    return frozenset(name for laid in halves for name, each in laid.items() if each is not library().get(name))


def _looked_at(inputs: dict[str, Input], changed: frozenset[str]) -> Iterator[Input]:
    """Give files, of which those that are changed are looked at; all are where a block, a table or a register is changed."""
    is_alone = all(role(Path(name)) == "steps" and "/blocks/" not in name for name in changed)
    for name, each in inputs.items():
        yield each._replace(is_context=True) if is_alone and name not in changed and each.kind == "steps" else each


def _with_half(folder: Path, half: str) -> dict[str, Input]:
    found = [path for path in folder.iterdir() if path.stem == half]
    if half == "mended" and not found:
        assert (folder / "defective.diff").is_file(), f"{folder.name}: only a difference has its twin in the library."
        return library()
    [path] = found
    laid = with_case(path)
    # Both halves of a whole file bear the name of their story.
    if path.suffix == ".yaml":
        name = f"{LIBRARY.name}/{folder.name}.yaml"
        laid[name] = laid.pop(f"{LIBRARY.name}/{path.name}")._replace(name=name)
    return laid


def table() -> str:
    """Write the table of all pairs."""
    rows = [row for story in stories() for row in _rows(story)]
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = ["  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    return HEAD + "".join(f"{line}\n" for line in lines)


def _rows(story: Story) -> Iterator[tuple[str, ...]]:
    halves = [catches(story.folder, half) for half in ("defective", "mended")]
    mended = "silent" if not halves[1] else f"{len(halves[1])} results"
    for rule, words in story.caught:
        found = [each for each in halves[0] if each.rule == rule and words in each.words]
        place = f"{found[0].file}:{found[0].line}" if found else ""
        yield story.folder.name, rule, place, "caught" if found else "missed", mended


if __name__ == "__main__":
    print(table(), end="")
