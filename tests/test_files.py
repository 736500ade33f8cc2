"""A path stands for the files that are to be checked and those they rest on."""

import os
from pathlib import Path

import pytest

from proclint.apps.files import find_library, gather, role
from proclint.engine import Input
from proclint.settings import UsageProblem


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Write a library of empty files and go into it."""
    names = ("library.yaml", "sources.yaml", "accepted.yaml", "ostrel/add-key.yaml", "blocks/verify.yaml")
    others = (
        "facts/log.csv",
        "facts/notes.txt",
        "other.csv",
        ".hidden.yaml",
        ".git/x.yaml",
        "ostrel/old.YML",
    )
    for name in (*names, *others):
        path = tmp_path / "book" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name, encoding="utf-8")
    monkeypatch.chdir(tmp_path / "book")
    return tmp_path / "book"


def names(inputs: list[Input], *, is_context: bool = False) -> list[tuple[str, str]]:
    """Give name and kind of the files to check, or of their context."""
    return [(each.name, each.kind) for each in inputs if each.is_context is is_context]


WHOLE = [
    ("accepted.yaml", "accepted"),
    ("library.yaml", "library"),
    ("sources.yaml", "sources"),
    ("blocks/verify.yaml", "steps"),
    ("facts/log.csv", "facts"),
    ("ostrel/add-key.yaml", "steps"),
    ("ostrel/old.YML", "steps"),
]


@pytest.mark.usefixtures("book")
def test_a_folder_stands_for_its_library() -> None:
    """A folder stands for all its files that have a role, in one order, hidden ones left out."""
    found = gather((Path(),))
    assert WHOLE == names(found)
    assert [] == names(found, is_context=True)
    assert [name.encode() for name, _ in WHOLE] == [each.data for each in found]


@pytest.mark.usefixtures("book")
def test_a_file_brings_what_it_rests_on() -> None:
    """With a single file come settings, registers, blocks and facts of its library, as context."""
    found = gather((Path("ostrel/add-key.yaml"),))
    assert [("ostrel/add-key.yaml", "steps")] == names(found)
    assert [
        ("library.yaml", "library"),
        ("sources.yaml", "sources"),
        ("accepted.yaml", "accepted"),
        ("blocks/verify.yaml", "steps"),
        ("facts/log.csv", "facts"),
    ] == names(found, is_context=True)


def test_each_file_once(book: Path) -> None:
    """A file named twice, by a link or with its folder, is checked once and is no context."""
    (book / "link.yaml").symlink_to("ostrel/add-key.yaml")
    found = gather((Path("link.yaml"), Path("blocks/verify.yaml"), Path("ostrel/../ostrel")))
    expected = ["link.yaml", "blocks/verify.yaml", "ostrel/../ostrel/old.YML"]
    assert expected == [name for name, _ in names(found)]
    followed = ["library.yaml", "sources.yaml", "accepted.yaml", "facts/log.csv"]
    assert followed == [name for name, _ in names(found, is_context=True)]


def test_a_link_that_leads_out_is_not_followed(book: Path) -> None:
    """A link out of the library is named and not read; one within it is, and so is whatever is named by itself."""
    for name in ("one.yaml", "two.yaml"):
        (book.parent / name).write_text("id: outside\n", encoding="utf-8")
    (book / "ostrel" / "out.yaml").symlink_to(book.parent / "one.yaml")
    (book / "blocks" / "out.yaml").symlink_to("../../two.yaml")
    (book / "ostrel" / "within.yaml").symlink_to("../blocks/verify.yaml")
    for paths in ((Path(),), (Path("ostrel"), Path("blocks")), (Path("ostrel/add-key.yaml"),)):
        found = {each.name: each for each in gather(paths)}
        assert "is a link that leads out of the library" == found["blocks/out.yaml"].unread
        assert not any(b"outside" in (each.data or b"") for each in found.values())
    assert b"blocks/verify.yaml" == {each.name: each.data for each in gather((Path("ostrel"),))}["ostrel/within.yaml"]
    assert [("ostrel/out.yaml", "steps")] == names(gather((Path("ostrel/out.yaml"),)))
    (book / "library.yaml").unlink()
    assert {"ostrel/out.yaml", "blocks/out.yaml"} == {each.name for each in gather((Path(),)) if each.unread}


def test_absolute_paths_stay_absolute(book: Path) -> None:
    """What is named by an absolute path is shown so, and its context too."""
    found = gather((book / "ostrel" / "add-key.yaml",))
    assert all(each.name.startswith(book.as_posix()) for each in found)


def test_a_file_outside_any_library(tmp_path: Path) -> None:
    """A file outside a library comes alone, whatever its name ends in."""
    path = tmp_path / "procedure.txt"
    path.write_bytes(b"a: b")
    assert [Input(path.as_posix(), "steps", b"a: b")] == gather((path,))


@pytest.mark.usefixtures("book")
def test_a_library_is_found_upwards(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library is the nearest folder upwards, however the start is written."""
    assert Path() == find_library(Path())
    monkeypatch.chdir("ostrel")
    assert Path("..") == find_library(Path())
    assert Path("..") == find_library(Path("../facts"))
    assert Path.cwd().parent == find_library(Path.cwd())


def test_a_library_is_found_beside(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is none upwards, it is the folder `procedures` here; else there is none."""
    book.rename(book.parent / "procedures")
    monkeypatch.chdir(book.parent)
    assert Path("procedures") == find_library(Path())
    (book.parent / "procedures" / "library.yaml").unlink()
    assert find_library(Path()) is None


def test_a_folder_that_may_not_be_looked_at_holds_no_library() -> None:
    """Where it cannot be known whether a library is there, there is none."""
    assert find_library(Path("n" * 300)) is None


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("a/x.yaml", "steps"),
        ("x.yml", "steps"),
        ("x.YAML", "steps"),
        ("library.yaml", "library"),
        ("a/sources.yaml", "sources"),
        ("accepted.yaml", "accepted"),
        ("facts/x.csv", "facts"),
        ("facts/x.CSV", "facts"),
        ("facts/x.yaml", "steps"),
        ("other/x.csv", ""),
        ("x.txt", ""),
        ("yaml", ""),
    ],
)
def test_roles(path: str, expected: str) -> None:
    """A file's name says what it is."""
    assert expected == role(Path(path))


def test_a_table_by_itself_is_no_procedure(book: Path) -> None:
    """A table is read as one wherever it lies, and by itself it leaves nothing to check."""
    with pytest.raises(UsageProblem, match=r"^There is no procedure in other\.csv\.$"):
        gather((Path("other.csv"),))
    assert ("other.csv", "facts") in names(gather((Path("other.csv"), book / "ostrel")))


def test_a_file_over_the_limit_has_no_data(book: Path) -> None:
    """A file of 1 MiB is read, one byte more and it is named without its data."""
    path = book / "ostrel" / "add-key.yaml"
    path.write_bytes(b"#" * (1 << 20))
    assert [1 << 20] == [len(each.data or b"") for each in gather((path,)) if not each.is_context]
    path.write_bytes(b"#" * ((1 << 20) + 1))
    assert [None] == [each.data for each in gather((path,)) if not each.is_context]


def read_so_far() -> int:
    """Give the number of bytes that this program has read."""
    return int(Path("/proc/self/io").read_text(encoding="ascii").split()[1])


@pytest.mark.skipif(not Path("/proc/self/io").exists(), reason="there is no /proc here")
def test_a_large_file_is_not_read(tmp_path: Path) -> None:
    """Of a file whose size is over the limit not a byte is read."""
    path = tmp_path / "x.yaml"
    with path.open("wb") as stream:
        stream.truncate(100_000_000)
    before = read_so_far()
    assert [None] == [each.data for each in gather((path,))]
    assert read_so_far() - before < 10_000


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="there is no /proc here")
def test_a_file_that_does_not_know_its_size(tmp_path: Path) -> None:
    """A file that gives more than its size says is read no further than the limit."""
    path = tmp_path / "x.yaml"
    path.symlink_to("/proc/self/status")
    assert 0 == path.stat().st_size
    assert [True] == [bool(each.data) for each in gather((path,))]


def test_a_link_in_a_ring_of_folders(book: Path) -> None:
    """Links between folders are not followed, so the walk ends."""
    (book / "ostrel" / "up").symlink_to(book, target_is_directory=True)
    assert WHOLE == names(gather((Path(),)))


def test_a_folder_that_cannot_be_listed(tmp_path: Path) -> None:
    """A folder somewhere within that cannot be looked into is named, never passed over."""
    (tmp_path / "x.yaml").touch()
    inner = os.open(tmp_path, os.O_RDONLY)
    # Longer in all than a path may be.
    for _ in range(20):
        os.mkdir("n" * 250, dir_fd=inner)
        outer, inner = inner, os.open("n" * 250, os.O_RDONLY, dir_fd=inner)
        os.close(outer)
    os.close(inner)
    stuck = [each for each in gather((tmp_path,)) if each.unread]
    assert ["file name too long"] == [each.unread for each in stuck]
    assert stuck[0].name.endswith("n/" + "n" * 250)


def test_what_cannot_be_read_is_given_without_data(book: Path) -> None:
    """What lies in a folder and cannot be read is given with the reason; named by itself it is a wrong call."""
    (book / "ostrel" / "link.yaml").symlink_to("none")
    (book / "ostrel" / "x.yaml").mkdir()
    unread = [(each.name, each.data, each.unread) for each in gather((Path(),)) if each.unread]
    expected = [("ostrel/link.yaml", None, "no such file or directory"), ("ostrel/x.yaml", None, "is a directory")]
    assert expected == unread
    for paths in ((Path("ostrel/link.yaml"),), (Path(), Path("ostrel/link.yaml"))):
        with pytest.raises(UsageProblem, match=r"^ostrel/link\.yaml: no such file or directory\.$"):
            gather(paths)


def test_what_cannot_be_read_is_no_context(book: Path) -> None:
    """A block that cannot be read is told, although only its followers were asked about."""
    (book / "blocks" / "link.yaml").symlink_to("link.yaml")
    found = gather((Path("ostrel/add-key.yaml"),))
    assert [("ostrel/add-key.yaml", "steps"), ("blocks/link.yaml", "steps")] == names(found)


def test_names_that_are_no_text(book: Path) -> None:
    """Bytes of a name that are no UTF-8 are written out, so that every name can be shown and stored."""
    path = os.fsencode(book) + b"/ostrel/\xff.yaml"
    try:
        with open(path, "wb"):  # noqa: PTH123
            pass
    except OSError:
        pytest.skip("names of files are texts here")
    assert "ostrel/\\xff.yaml" in [name for name, _ in names(gather((Path("ostrel"),)))]


def test_a_path_with_nul() -> None:
    """A path that no system takes is a wrong call."""
    with pytest.raises(UsageProblem, match="null byte"):
        gather((Path("a\0b"),))
