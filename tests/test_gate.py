"""`proclint gate` in a real repository: what keeps it shut, what it writes, and what it does with a hostile contribution."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from proclint.apps.cli import group
from proclint.render.text import CLOSING
from proclint.testing import Example
from tests.repository import Repository

GOOD = "steps:\n  a: {do: look on-lamp, ways: {lit: all-right, dark: all-right}}\n"
BAD = "steps:\n  a: {do: look on-lamp, ways: {lit: all-right, dark: nowhere}}\n"


def whole(text: str) -> str:
    """Fill in what a procedure leaves out, as on a rule's page."""
    from proclint.apps.rule_set import known_rules

    return next(iter(Example(known_rules()[0], "bad", 1, text, known_rules()).files.values()))


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """Commit a library with one good procedure, and go to its folder."""
    repository = Repository(tmp_path / "book")
    repository.put("procedures/library.yaml", "name: A book\n")
    repository.put("procedures/a.yaml", whole(GOOD))
    repository.commit("A library")
    monkeypatch.chdir(repository.folder)
    return repository


def gate(*arguments: str) -> Result:
    """Call the gate as on a day."""
    return CliRunner().invoke(group, ["gate", "--on", "2026-06-01", *arguments], prog_name="proclint")


@pytest.mark.usefixtures("book")
def test_clean_library() -> None:
    """Where nothing is found the gate opens, with and without an earlier version."""
    for arguments, said in (((), "nothing at or above error"), (("--since", "HEAD"), "nothing new at or above error")):
        result = gate(*arguments)
        assert 0 == result.exit_code
        assert result.output.endswith(f"{CLOSING}\n\nThe gate opens: {said}.\n")


def test_what_a_change_brings(book: Repository) -> None:
    """What is new keeps the gate shut and is told in full; once it is in, it keeps out nothing else."""
    book.put("procedures/a.yaml", whole(BAD))
    result = gate("--since", "HEAD")
    assert 1 == result.exit_code
    assert "way-to-nowhere: nowhere" in result.output
    assert "since HEAD (" in result.output
    assert "1 new, 0 unchanged, 0 updated, 0 gone." in result.output
    assert result.output.endswith("The gate stays shut: 1 new result at or above error.\n")
    book.commit("A fault that was merged all the same")
    later = gate("--since", "HEAD")
    assert (0, False) == (later.exit_code, "way-to-nowhere" in later.output)
    assert 1 == gate().exit_code


def test_working_tree_is_left_alone(book: Repository) -> None:
    """Nothing is checked out or written: what was changed and not committed is what is judged."""
    book.put("procedures/b.yaml", whole(f"id: other\n{GOOD}"))
    before = book.git("status", "--porcelain=v2", "--branch")
    assert 0 == gate("--since", "HEAD").exit_code
    assert before == book.git("status", "--porcelain=v2", "--branch")


def test_all_reports_in_one_run(book: Repository) -> None:
    """One run writes all kinds of report, and they agree on what is new."""
    book.put("procedures/a.yaml", whole(BAD))
    kinds = {"sarif": "a.sarif", "junit": "a.xml", "annotations": "a.txt", "markdown": "a.md", "lines": "a.jsonl"}
    result = gate("--since", "HEAD", *(part for kind, file in kinds.items() for part in ("--report", f"{kind}={file}")))
    texts = {kind: Path(file).read_text(encoding="utf-8") for kind, file in kinds.items()}
    assert 1 == result.exit_code
    (found,) = json.loads(texts["sarif"])["runs"][0]["results"]
    assert ("way-to-nowhere", "new") == (found["ruleId"], found["baselineState"])
    assert 'failures="1"' in texts["junit"]
    assert texts["annotations"].startswith("::error file=procedures/a.yaml,line=2,endLine=2,col=")
    assert texts["markdown"].startswith("### proclint: The gate stays shut: 1 new result at or above error.\n")
    assert ["new"] == [json.loads(line)["state"] for line in texts["lines"].splitlines()]


@pytest.mark.parametrize("kind", ["junit", "annotations", "markdown"])
def test_examine_writes_them_too(book: Repository, kind: str) -> None:
    """What the gate writes, `proclint examine` writes."""
    book.put("procedures/a.yaml", whole(BAD))
    result = CliRunner().invoke(group, ["examine", "--on", "2026-06-01", "--report", f"{kind}=-"], prog_name="proclint")
    assert result.stdout_bytes == gate("--report", f"{kind}=-").stdout_bytes
    assert b"way-to-nowhere" in result.stdout_bytes


@pytest.mark.usefixtures("book")
def test_wrong_calls() -> None:
    """A revision that does not exist, a range, and a folder outside are wrong calls."""
    for arguments, said in (
        (("--since", "gone"), "proclint: There is no revision 'gone' here.\n"),
        (("--since", "main..HEAD"), "proclint: 'main..HEAD' is a range; one revision is needed.\n"),
        (("--since", "HEAD", "--on", "never"), "proclint: --on: 'never' is not a day.\n"),
    ):
        result = gate(*arguments)
        assert 2 == result.exit_code
        assert result.output.startswith(said)


def test_moved_and_deleted(book: Repository) -> None:
    """A file that is moved brings nothing; one that is deleted takes its results along."""
    book.put("procedures/a.yaml", whole(BAD))
    book.commit("A fault")
    book.git("mv", "procedures/a.yaml", "procedures/b.yaml")
    moved = gate("--since", "HEAD")
    assert (0, True) == (moved.exit_code, "0 new, 1 unchanged, 0 updated, 0 gone." in moved.output)
    book.put("procedures/b.yaml", whole(f"id: other\n{GOOD}"))
    gone = gate("--since", "HEAD")
    assert (0, True) == (gone.exit_code, "0 new, 0 unchanged, 0 updated, 1 gone." in gone.output)


def test_conflict_left_in_a_file(book: Repository) -> None:
    """A conflict that nobody resolved, or bytes in the place of a text, keep the gate shut."""
    conflict = f"<<<<<<< ours\n{whole(GOOD)}=======\n{whole(BAD)}>>>>>>> theirs\n"
    for spoilt, said in ((conflict, "a conflict begins here"), (bytes(range(256)), "unreadable-file")):
        book.put("procedures/a.yaml", spoilt)
        result = gate("--since", "HEAD")
        assert 1 == result.exit_code
        assert said in result.output


def test_bar_lowered_beside_a_single_file(book: Repository) -> None:
    """With one file named, what is lowered in the settings beside it, or by taking them away, is told all the same."""
    book.put("procedures/library.yaml", "name: A book\nfailing-level: warning\n")
    book.commit("A stricter library")
    for settings in ("name: A book\n", None):
        if settings is None:
            (book.folder / "procedures" / "library.yaml").unlink()
        else:
            book.put("procedures/library.yaml", settings)
        result = gate("--since", "HEAD", "procedures/a.yaml")
        assert (1, True) == (result.exit_code, "bar-lowered: failing-level" in result.output)
        assert "procedures/library.yaml:" in result.output


HOSTILE = """\
steps:
  a:
    do: look hood
    instruction: "::error::owned\\n\\e[2J ##[error]x <script>alert(1)</script> [x](https://example.org) @all"
    ways: {open: "::stop-commands::x", closed: "%0A::error::x"}
  "::add-mask::x": {follow: "../../../../etc/passwd 1", then: "$(touch owned)"}
  b: {follow: "`touch owned` 2", ways: {done: all-right}}
"""


def test_hostile_contribution(book: Repository) -> None:
    """Texts, names of steps, files and blocks that try to be obeyed are told and nothing else; no file outside is read."""
    book.put("procedures/a.yaml", whole(HOSTILE))
    book.put("procedures/\n::error::owned\n.yaml", whole(f"id: other\n{BAD}"))
    (book.folder.parent / "secret.yaml").write_text("secret: root of all\n", encoding="utf-8")
    (book.folder / "procedures" / "link.yaml").symlink_to(book.folder.parent / "secret.yaml")
    (book.folder / "procedures" / "blocks").mkdir()
    os.mkfifo(book.folder / "procedures" / "blocks" / "pipe.yaml")
    result = gate("--since", "HEAD")
    assert 1 == result.exit_code
    assert not [line for line in result.output.splitlines() if line.lstrip().startswith("::") or "##[" in line]
    assert "\x1b" not in result.output
    assert "root of all" not in result.output
    assert "is a link that leads out of the library" in result.output
    assert not list(book.folder.rglob("owned"))
