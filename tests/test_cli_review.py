"""`proclint review` holds files against a revision or another file, and writes its forms where it is told to."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from proclint.apps.cli import group
from tests import hostile_procedure as hostile
from tests.repository import Repository

NAME = "corvane/halyard-add-key.yaml"
OLD = hostile.procedure("Look").replace("n <= 4: learn", "n < 4: learn")
NEW = hostile.procedure("Look")
WINDOW = "From 'before', 'n <= 4' leads to 'learn'; before, 'n < 4' did."


def called(*arguments: str) -> Result:
    """Run the command line as on one day."""
    return CliRunner().invoke(group, ["review", "--on", "2026-06-15", *arguments])


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """Make a library under git of which the last commit changes a procedure."""
    found = Repository(tmp_path / "book")
    found.put("library.yaml", "name: A book\n")
    found.put(NAME, OLD)
    found.commit("First")
    found.put(NAME, NEW)
    found.commit("Second")
    monkeypatch.chdir(found.folder)
    return found


def test_against_a_revision(repository: Repository) -> None:
    """Without a file, what differs from the revision is accounted for; the commit is named."""
    result = called("--against", "HEAD~1")
    assert 0 == result.exit_code
    assert f"1 file accounted for, held against HEAD~1 ({repository.git('rev-parse', 'HEAD~1')[:12]})." in result.output
    assert WINDOW in result.output


def test_nothing_changed(repository: Repository) -> None:
    """Held against what it is, a library has no change in meaning and no account."""
    repository.put("README", "new")
    result = called("--against", "HEAD")
    assert 0 == result.exit_code
    assert result.output.startswith("0 files accounted for, held against HEAD")
    assert "No change in meaning." in result.output


def test_named_file_without_comparison(repository: Repository) -> None:
    """A file alone is accounted for without a difference."""
    assert repository.folder.is_dir()
    result = called(NAME)
    assert 0 == result.exit_code
    assert "1 file accounted for, held against nothing." in result.output
    assert "Difference in meaning" not in result.output


def test_against_a_file(repository: Repository) -> None:
    """A file is held against another one, wherever that lies, and that it bears another name is no change."""
    repository.put("../elsewhere.yaml", OLD)
    result = called(NAME, "--against", "../elsewhere.yaml")
    assert 0 == result.exit_code
    assert "held against ../elsewhere.yaml." in result.output
    assert WINDOW in result.output
    assert "is now" not in result.output


def test_against_a_folder(repository: Repository) -> None:
    """A library is held against another folder."""
    repository.put("../old/library.yaml", "name: A book\n")
    repository.put(f"../old/{NAME}", OLD)
    repository.put("../old/blocks/same.yaml", hostile.procedure("Look").replace("corvane-halyard-add-key", "another-one"))
    repository.put("blocks/same.yaml", hostile.procedure("Look").replace("corvane-halyard-add-key", "another-one"))
    result = called(".", "--against", "../old")
    assert 0 == result.exit_code
    assert WINDOW in result.output
    assert "1 file accounted for, held against ../old." in result.output
    assert "is now" not in result.output


def test_a_folder_that_bears_the_name_of_a_revision(repository: Repository) -> None:
    """A folder that a contribution brings does not stand in for the revision of its name, nor a revision for the folder."""
    repository.put(f"main/{NAME}", NEW)
    result = called("--against", "main")
    assert (2, True) == (result.exit_code, "'main' is a revision, and lies here too." in result.output)
    assert WINDOW in called("--against", "refs/heads/main~1").output
    assert "held against main." in called(NAME, "--against", "./main").output
    repository.put(f"elsewhere/{NAME}", OLD)
    assert WINDOW in called(NAME, "--against", "elsewhere").output


def test_a_folder_of_a_library(repository: Repository) -> None:
    """A folder in a library stands for the procedures in it, and is seen with the library around it."""
    repository.put(
        "blocks/look.yaml", "block: look\nversion: 1\ntitle: Look\nexits: [seen]\nsteps:\n  a: {do: act look, then: seen}\n"
    )
    repository.put("corvane/notes.csv", "a,b\n")
    for arguments in (("corvane",), ("corvane", "--against", "HEAD")):
        result = called(*arguments)
        assert "1 file accounted for" in result.output
        assert NAME in result.output
    assert "2 files accounted for" in called(".").output


def test_forms_go_to_files(repository: Repository) -> None:
    """Each form goes to its file, and text to standard output, unless a form goes there."""
    result = called(NAME, "--against", "HEAD~1", "--report", "html=review.html", "--report", "markdown=review.md")
    assert 0 == result.exit_code
    assert (repository.folder / "review.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    assert (repository.folder / "review.md").read_text(encoding="utf-8").startswith("## Review")
    assert WINDOW in result.output
    shown = called(NAME, "--against", "HEAD~1", "--report", "markdown=-").output
    assert (repository.folder / "review.md").read_text(encoding="utf-8") == shown


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "There is nothing to review."),
        ((".", "--against", NAME), "is one file."),
        (("--against", "no-such-revision"), "no-such-revision"),
        (("no-such-file.yaml",), "no-such-file.yaml"),
        ((f"{'a' * 300}.yaml",), "name too long"),
        (("--against", "a" * 300), "There is no revision"),
        ((NAME, "--report", "pdf=a.pdf"), "there is no kind 'pdf'"),
        ((NAME, "--report", "htm=a.html"), "Did you mean 'html'?"),
        ((NAME, "--report", "html="), "names no file"),
        ((NAME, "--report", f"html={NAME}"), "is one of the files checked"),
    ],
)
def test_wrong_calls(repository: Repository, arguments: tuple[str, ...], said: str) -> None:
    """A wrong call is told in words, with exit status 2, and writes nothing."""
    result = called(*arguments)
    assert 2 == result.exit_code
    assert said in result.output
    assert "Traceback" not in result.output
    assert NEW == (repository.folder / NAME).read_text(encoding="utf-8")


def test_without_a_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no library, a file has to be named."""
    monkeypatch.chdir(tmp_path)
    assert "There is no library here." in called("--against", "HEAD").output
    (tmp_path / "alone.yaml").write_text(NEW, encoding="utf-8")
    result = called("alone.yaml")
    assert 0 == result.exit_code
    assert "alone.yaml" in result.output


def test_hostile_contribution(repository: Repository) -> None:
    """Whatever a contribution says, no control character of it arrives on the terminal, and the command ends well."""
    repository.put(NAME, hostile.procedure(hostile.TEXT + "\\e[2J"))
    result = called("--against", "HEAD")
    assert 0 == result.exit_code
    assert "\x1b" not in result.output


def test_deleted_and_moved_files(repository: Repository) -> None:
    """A file that is gone stands among the others; one that was moved is accounted for as the same."""
    repository.put("corvane/moved.yaml", NEW.replace("here: 1-2", "here: 1-3"))
    (repository.folder / NAME).unlink()
    moved = called("--against", "HEAD")
    assert f"The file '{NAME}' is now 'corvane/moved.yaml'." in " ".join(moved.output.split())
    repository.put(NAME, NEW.replace("corvane-halyard-add-key", "another-one").replace("Look", "Gone"))
    repository.commit("Two")
    (repository.folder / NAME).unlink()
    gone = called("--against", "HEAD")
    assert "The procedure 'another-one' is gone: add-key for " in gone.output
