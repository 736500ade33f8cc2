"""A library at a revision is what git has there: held against a real clone, in which git itself checked the revision out."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from proclint.apps.files import gather
from proclint.apps.revisions import find_revision, gather_at
from proclint.settings import UsageProblem
from tests.repository import Repository

LIBRARY = {
    "procedures/library.yaml": "name: A book\n",
    "procedures/sources.yaml": "sources: []\n",
    "procedures/accepted.yaml": "[]\n",
    "procedures/ostrel/add-key.yaml": "id: add-key\n",
    "procedures/ostrel/b/add-fob.yml": "id: add-fob\n",
    "procedures/blocks/verify.yaml": "block: verify\n",
    "procedures/facts/log.csv": "make\n",
    "procedures/facts/notes.txt": "no part of it\n",
    "procedures/.drafts/x.yaml": "id: hidden\n",
    "procedures/ostrel/.x.yaml": "id: hidden\n",
    "other/x.yaml": "id: other\n",
}


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """Commit a library, and go to the top folder of its repository."""
    repository = Repository(tmp_path / "book")
    for name, text in LIBRARY.items():
        repository.put(name, text)
    repository.commit("A library")
    monkeypatch.chdir(repository.folder)
    return repository


def at(revision: str, *paths: str) -> list[tuple[str, str, bytes | None, bool]]:
    """Give what is read at a revision for paths."""
    given = tuple(map(Path, paths))
    read = gather_at(find_revision(revision, given), given)
    return [(each.name, each.kind, each.data, each.is_context) for each in read]


def now(*paths: str) -> list[tuple[str, str, bytes | None, bool]]:
    """Give what is read from disk for paths."""
    return [(each.name, each.kind, each.data, each.is_context) for each in gather(tuple(map(Path, paths)))]


@pytest.mark.parametrize(
    "paths",
    [
        ["procedures"],
        ["."],
        ["procedures/ostrel"],
        ["procedures/ostrel/add-key.yaml"],
        ["procedures/ostrel/add-key.yaml", "procedures/ostrel"],
        ["procedures/ostrel/../ostrel/b"],
        ["other/x.yaml"],
    ],
    ids=str,
)
@pytest.mark.usefixtures("book")
def test_same_files_as_on_disk(paths: list[str]) -> None:
    """Where nothing was changed since, a revision gives the very files that a walk through the folders gives."""
    assert now(*paths) == at("HEAD", *paths)


def test_paths_from_the_root_and_from_below(book: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    """Paths from the root, and from a folder further down, are shown as they were given."""
    whole = str(book.folder / "procedures")
    single = f"{whole}/ostrel/add-key.yaml"
    assert now(whole) == at("HEAD", whole)
    assert now(single) == at("HEAD", single)
    monkeypatch.chdir(book.folder / "procedures" / "ostrel")
    assert now("..") == at("HEAD", "..")
    assert now("add-key.yaml") == at("HEAD", "add-key.yaml")


def test_a_library_beside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file beside the folder `procedures` rests on the library in it, as on disk."""
    repository = Repository(tmp_path / "book")
    repository.put("procedures/library.yaml", "name: A book\n")
    repository.put("x.yaml", "id: x\n")
    repository.commit("A library beside a file")
    monkeypatch.chdir(repository.folder)
    assert now("x.yaml") == at("HEAD", "x.yaml")
    assert 2 == len(at("HEAD", "x.yaml"))


def test_every_revision_is_as_git_checks_it_out(book: Repository, tmp_path: Path) -> None:
    """What moves, goes, turns into bytes that are no text, or stands in a conflict, is read as git checks it out."""
    book.git("mv", "procedures/ostrel/add-key.yaml", "procedures/ostrel/add-a-key.yaml")
    book.commit("Moved")
    book.put("procedures/ostrel/b/add-fob.yml", bytes(range(256)))
    book.commit("No text any more")
    book.put("procedures/blocks/verify.yaml", "<<<<<<< ours\nblock: verify\n=======\nblock: other\n>>>>>>> theirs\n")
    book.commit("A conflict that nobody resolved")
    book.git("rm", "--quiet", "procedures/ostrel/b/add-fob.yml")
    book.put("procedures/ostrel/line\nend.yaml", "id: odd\n")
    book.put("procedures/facts/log.csv", "make\r\nCorvane\r\n")
    book.commit("Gone, and a name with a line end")
    shutil.rmtree("procedures")
    for back in range(5):
        copy = tmp_path / f"back-{back}"
        book.git("worktree", "add", "--quiet", "--detach", str(copy), f"HEAD~{back}")
        checked_out = [(Path(name).relative_to(copy), *rest) for name, *rest in now(str(copy / "procedures"))]
        assert checked_out == [(Path(name), *rest) for name, *rest in at(f"HEAD~{back}", "procedures")]


def test_branches_tags_and_other_names(book: Repository) -> None:
    """A revision may be written in any way that git knows; its commit is the one that git gives."""
    book.git("tag", "--annotate", "v1", "--message", "First")
    book.git("switch", "--quiet", "--create", "contribution")
    book.put("procedures/ostrel/add-key.yaml", "id: other\n")
    second = book.commit("A contribution")
    first = book.git("rev-parse", "main")
    written = {"main": first, "v1": first, "HEAD^": first, "@~1": first, first[:9]: first, "contribution": second}
    assert written == {each: find_revision(each, (Path(),)).commit for each in written}


def test_links(book: Repository, tmp_path: Path) -> None:
    """A link to a file of the revision is read; one that leads out of it, or to a folder, is not there."""
    book.put("procedures/keep.yaml", "id: kept\n")
    (tmp_path / "secret.yaml").write_text("id: secret\n", encoding="utf-8")
    links = {"inside": "ostrel/add-key.yaml", "outside": str(tmp_path / "secret.yaml"), "above": "../../secret.yaml"}
    links |= {"folder": "ostrel", "gone": "nowhere.yaml"}
    for name, target in links.items():
        (book.folder / "procedures" / f"{name}.yaml").symlink_to(target)
    book.commit("Links")
    found = {name: data for name, _, data, _ in at("HEAD", "procedures")}
    assert b"id: add-key\n" == found["procedures/inside.yaml"]
    assert set() == {f"procedures/{name}.yaml" for name in ("outside", "above", "folder", "gone")} & set(found)
    assert not any(b"secret" in (data or b"") for data in found.values())


def test_what_is_over_the_limit_has_no_data(book: Repository) -> None:
    """A file over the size limit is named, and its bytes are not fetched."""
    book.put("procedures/big.yaml", b"#" * ((1 << 20) + 1))
    book.commit("Too large")
    assert ("procedures/big.yaml", "steps", None, False) in at("HEAD", "procedures")


def test_nothing_there_yet(book: Repository) -> None:
    """A folder that was not there at the revision, or held nothing that is read, gives nothing."""
    book.put("new/notes.txt", "-\n")
    assert [] == at("HEAD", "new")


@pytest.mark.parametrize(
    ("revision", "what", "change"),
    [
        ("gone", "There is no revision 'gone' here.", "git log"),
        ("HEAD~7", "There is no revision 'HEAD~7' here.", "git log"),
        ("HEAD:procedures", "There is no revision 'HEAD:procedures' here.", "git log"),
        ("main..HEAD", "'main..HEAD' is a range; one revision is needed.", "begins with"),
        ("main...HEAD", "'main...HEAD' is a range; one revision is needed.", "begins with"),
        ("--all", "There is no revision '--all' here.", "git log"),
        ("--output=x", "There is no revision '--output=x' here.", "git log"),
        ("", "There is no revision '' here.", "git log"),
        ("^HEAD", "There is no revision '^HEAD' here.", "git log"),
        ("a\0b", "There is no revision 'a\0b' here.", "git log"),
        ("$(touch x)", "There is no revision '$(touch x)' here.", "git log"),
    ],
)
@pytest.mark.usefixtures("book")
def test_no_such_revision(revision: str, what: str, change: str) -> None:
    """What names no one commit is a wrong call, and no shell or option of git is reached by it."""
    with pytest.raises(UsageProblem) as raised:
        find_revision(revision, (Path("procedures"),))
    assert what == raised.value.what
    assert change in raised.value.change
    assert not Path("x").exists()


@pytest.mark.parametrize(
    ("revision", "fetch"),
    [
        ("HEAD~3", "`git fetch --depth=4`"),
        ("@^^", "`git fetch --depth=3`"),
        ("origin/main~2", "`git fetch --depth=3 origin main`"),
        ("v1", "`git fetch --depth=1 origin v1`"),
    ],
)
def test_shallow_clone(book: Repository, tmp_path: Path, revision: str, fetch: str) -> None:
    """In a clone that is cut off, the message says how deep to fetch, and what it says is enough."""
    for number in range(4):
        book.put("procedures/ostrel/add-key.yaml", f"id: add-key-{number}\n")
        book.commit(f"Number {number}")
    book.git("tag", "v1", "HEAD~4")
    clone = tmp_path / "clone"
    book.git("clone", "--quiet", "--depth=1", "--no-tags", f"file://{book.folder}", str(clone))
    with pytest.raises(UsageProblem) as raised:
        find_revision(revision, (clone,))
    assert fetch in raised.value.change
    command = [*fetch.strip("`").split(), *(["tag", "v1"] if revision == "v1" else [])]
    subprocess.run(["git", "-C", str(clone), *command[1:]], check=True, capture_output=True)
    assert book.git("rev-parse", revision.removeprefix("origin/")) == find_revision(revision, (clone,)).commit


def test_no_repository(tmp_path: Path) -> None:
    """Outside of any repository there is no revision."""
    with pytest.raises(UsageProblem, match="is in no git repository"):
        find_revision("HEAD", (tmp_path,))


def test_outside_of_the_repository(book: Repository, tmp_path: Path) -> None:
    """A path that leads out of the repository, by dots or by a link, is a wrong call."""
    (tmp_path / "other").mkdir()
    (book.folder / "link").symlink_to(tmp_path / "other")
    for path in ("../other", "link"):
        with pytest.raises(UsageProblem, match=f"^{path} lies outside of the repository"):
            find_revision("HEAD", (Path("procedures"), Path(path)))


@pytest.mark.usefixtures("book")
def test_no_git(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without git the call is wrong, and says so."""
    monkeypatch.setenv("PATH", os.devnull)
    with pytest.raises(UsageProblem, match="There is no git here"):
        find_revision("HEAD", (Path("procedures"),))


def test_repository_of_another_user(book: Repository, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where git does not trust a repository, what to do is said."""
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    with pytest.raises(UsageProblem, match="belongs to another user") as raised:
        find_revision("HEAD", (book.folder,))
    assert "safe.directory" in raised.value.change


def test_within_a_hook(book: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What git sets for a hook of another repository leads nowhere else."""
    other = Repository(tmp_path / "other")
    monkeypatch.setenv("GIT_DIR", str(other.folder / ".git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other.folder / ".git" / "index"))
    assert now("procedures") == at("HEAD", "procedures")
    assert book.folder.samefile(find_revision("HEAD", (Path(),)).top)


def lose(book: Repository, name: str) -> None:
    """Take away an object that git holds."""
    content = book.git("rev-parse", name)
    (book.folder / ".git" / "objects" / content[:2] / content[2:]).unlink()


def test_file_missing_in_the_clone(book: Repository) -> None:
    """Where the bytes of a file are not in the clone, what to fetch is said."""
    lose(book, "HEAD:procedures/ostrel/add-key.yaml")
    with pytest.raises(UsageProblem, match="A file of that revision is not in this clone") as raised:
        at("HEAD", "procedures")
    assert "git fetch --refetch" in raised.value.change


def test_damaged_clone(book: Repository) -> None:
    """Where the clone is damaged, git's own words are passed on."""
    lose(book, "HEAD^{tree}")
    with pytest.raises(UsageProblem, match=r"^git: ") as raised:
        at("HEAD", "procedures")
    assert "git fsck" in raised.value.change
