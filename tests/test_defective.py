"""Each defective file gives exactly the results that stand beside it, and no other file of the library gives any.

A case in `tests/defective` is a difference to one file of `procedures/` (`NAME.diff`, unified), a whole file that is laid
into the library (`NAME.yaml`) or a folder of such files (`NAME/`). `NAME.expected` holds what the check of the whole
library with it must say, most dangerous first: a line `# ...` tells what the contributor did; each result is
`file:line:column: level rule[: subject] message`, its way and what else belongs to it on indented lines; last comes what could
not be checked.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, examine
from proclint.rule import Rule
from tests.cases import LIBRARY, ON, library, read_change, with_case, written

FOLDER = Path(__file__).parent / "defective"

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
        yield each._replace(is_context=True) if is_left_out else each


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
    # What a change lowers shows only beside an earlier version: tests/test_gate_series.py.
    assert {rule.id for rule in known_rules()} - {"bar-lowered"} == shown


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
