"""Whatever a path leads to, the command answers with results or says what is wrong with the call."""

import gc
import os
import socket
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from proclint.apps.cli import main

GOOD = """\
format: 1
block: nothing
title: Nothing is done
version: 1
steps: {}
"""
BOMB = "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]\n" for n in range(1, 10))


@dataclass(frozen=True, slots=True)
class Answer:
    """What the command said, and its exit status."""

    status: int
    out: str
    err: str


Ask = Callable[..., Answer]


@pytest.fixture
def ask(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ask:
    """Give a function that runs `proclint examine` on paths."""

    def examine(*paths: Path | str) -> Answer:
        monkeypatch.setattr(sys, "argv", ["proclint", "examine", "--all", *map(str, paths)])
        with pytest.raises(SystemExit) as stopped:
            main()
        shown = capsys.readouterr()
        code = stopped.value.code
        return Answer(code if isinstance(code, int) else 0, shown.out, shown.err)

    return examine


def test_the_collector_is_off_for_a_run_and_on_behind_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """No cycles are looked for while modules load and a check runs; whoever calls from Python has the collector back."""
    seen: list[bool] = []
    monkeypatch.setattr("proclint.apps.cli.group", lambda **_: seen.append(gc.isenabled()))
    try:
        main()
        assert (seen, gc.isenabled(), gc.get_freeze_count() > 0) == ([False], True, True)
    finally:
        gc.unfreeze()


@pytest.mark.parametrize(
    ("name", "data", "message"),
    [
        ("empty.yaml", b"", "This file is empty."),
        ("notes.yaml", b"# later\n", "This file is empty."),
        ("picture.yaml", b"\x89PNG\r\n\x1a\n\0\0", "Byte 1 (0x89) is not UTF-8 text."),
        ("program.yaml", b"\x7fELF\x02\x01\0\0", "This file holds a NUL character, so it is not a text."),
        ("latin.yaml", "a: b\nmaker: Orée\n".encode("latin-1"), "Byte 15 (0xe9) is not UTF-8 text."),
        ("wide.yaml", "a: b\n".encode("utf-16"), "This file is UTF-16; only UTF-8 is read."),
        ("wider.yaml", "a: b\n".encode("utf-32"), "This file is UTF-32; only UTF-8 is read."),
        ("bare.yaml", "a: b\n".encode("utf-16-le"), "This file is UTF-16 without a mark"),
        ("deep.yaml", b"[" * 100_000, "This is nested more than 64 deep."),
        ("deep-names.yaml", b"? " * 100_000, "This is nested more than 64 deep."),
        ("deep-dashes.yaml", b"- " * 100_000, "This is nested more than 64 deep."),
        ("many.yaml", b"- a\n" * 50_001, "This file holds more than 50000 values."),
        ("bomb.yaml", BOMB.encode(), "'*a0' stands for a value that is written elsewhere."),
        ("ring.yaml", b"a: &a [*a]\n", "'*a' stands for a value that is written elsewhere."),
        ("tag.yaml", b"a: !!python/object/apply:os.getcwd []\n", "stands before this value."),
        ("bell.yaml", b"a: \x07\n", "A control character stands in this file."),
        ("tab.yaml", b"a:\n\tb: c\n", "A tab stands where only spaces may."),
        ("two.yaml", b"a: b\n---\nc: d\n", "A second document begins here."),
        ("twice.yaml", b"a: b\na: c\n", "'a' stands here a second time; only one of the two would count."),
        ("keys.yaml", b"? [a]\n: b\n", "A list or a mapping stands where a name belongs."),
        ("long.yaml", b"a: " + b"x" * 1_000_000, "The field 'a' has no effect here."),
        ("half.yaml", b"a: 'b", "A quotation mark that opens here is never closed."),
    ],
    ids=lambda value: value if isinstance(value, str) and value.endswith(".yaml") else "",
)
def test_a_file_that_cannot_be_read(ask: Ask, tmp_path: Path, name: str, data: bytes, message: str) -> None:
    """What is wrong with a file's bytes or form is a result at a place in it; the status is 1."""
    path = tmp_path / name
    path.write_bytes(data)
    answer = ask(path)
    assert (1, "") == (answer.status, answer.err)
    assert f"{path}:" in answer.out
    assert message in " ".join(answer.out.split())


def test_the_others_are_checked_all_the_same(ask: Ask, tmp_path: Path) -> None:
    """A file that cannot be read does not keep the others from being checked."""
    (tmp_path / "bad.yaml").write_bytes(b"\xff")
    (tmp_path / "other.yaml").write_bytes(b"a: b")
    answer = ask(tmp_path)
    assert 1 == answer.status
    assert "Byte 1 (0xff) is not UTF-8 text." in answer.out
    assert "The field 'a' has no effect here." in answer.out
    assert "checked: 2 files" in answer.out


def no_such_file(folder: Path) -> Path:
    """Give a path that leads nowhere."""
    return folder / "none.yaml"


def dangling_link(folder: Path) -> Path:
    """Make a link to nothing."""
    (folder / "link.yaml").symlink_to("none")
    return folder / "link.yaml"


def ring_of_links(folder: Path) -> Path:
    """Make two links that lead to one another."""
    (folder / "one.yaml").symlink_to("two.yaml")
    (folder / "two.yaml").symlink_to("one.yaml")
    return folder / "one.yaml"


def pipe(folder: Path) -> Path:
    """Make a pipe that nobody writes to."""
    os.mkfifo(folder / "pipe.yaml")
    return folder / "pipe.yaml"


def endpoint(folder: Path) -> Path:
    """Make a socket."""
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(os.path.relpath(folder / "s.yaml"))
    return folder / "s.yaml"


def device(_: Path) -> Path:
    """Give a device that never ends."""
    return Path("/dev/zero")


def folder_named_as_a_file(folder: Path) -> Path:
    """Make a folder that bears the name of a procedure."""
    (folder / "x.yaml").mkdir()
    return folder / "x.yaml"


def file_in_a_file(folder: Path) -> Path:
    """Give a path through a file."""
    (folder / "x.yaml").write_text(GOOD, encoding="utf-8")
    return folder / "x.yaml" / "y.yaml"


def long_name(folder: Path) -> Path:
    """Give a name longer than names may be."""
    return folder / ("n" * 300)


def only_a_table(folder: Path) -> Path:
    """Make a table of facts."""
    (folder / "x.csv").write_text("a,b\n", encoding="utf-8")
    return folder / "x.csv"


ODD = [
    (no_such_file, "no such file or directory."),
    (dangling_link, "no such file or directory."),
    (ring_of_links, "too many levels of symbolic links."),
    (pipe, "is not a file."),
    (endpoint, "no such device or address."),
    (device, "is not a file."),
    (folder_named_as_a_file, "There is no procedure in"),
    (file_in_a_file, "not a directory."),
    (long_name, "file name too long."),
    (only_a_table, "There is no procedure in"),
]


@pytest.mark.parametrize(("made", "message"), ODD, ids=lambda value: getattr(value, "__name__", ""))
def test_a_path_that_is_no_file(ask: Ask, tmp_path: Path, made: Callable[[Path], Path], message: str) -> None:
    """A path that leads to no file of text is a wrong call: what is wrong and what to do, status 2."""
    path = made(tmp_path)
    answer = ask(path)
    assert (2, "") == (answer.status, answer.out)
    assert str(path) in answer.err
    assert message in answer.err
    assert 2 == len(answer.err.splitlines())


@pytest.mark.parametrize(
    ("made", "reason"),
    [
        (dangling_link, "no such file or directory"),
        (ring_of_links, "too many levels of symbolic links"),
        (pipe, "is not a file"),
        (endpoint, "no such device or address"),
        (folder_named_as_a_file, "is a directory"),
    ],
    ids=lambda value: getattr(value, "__name__", ""),
)
def test_what_is_no_file_in_a_folder(ask: Ask, tmp_path: Path, made: Callable[[Path], Path], reason: str) -> None:
    """What a folder holds under the name of a procedure and cannot be read is a result there; the others are checked."""
    (tmp_path / "other.yaml").write_text("a: b", encoding="utf-8")
    path = made(tmp_path)
    answer = ask(tmp_path)
    assert (1, "") == (answer.status, answer.err)
    said = " ".join(answer.out.split())
    assert f"This could not be read ({reason}). {path}:1:1" in said
    assert "The field 'a' has no effect here." in said


def test_folders_named_as_files(ask: Ask, tmp_path: Path) -> None:
    """A folder named x.yaml in a library is told, and what is in it is checked all the same."""
    (tmp_path / "x.yaml").mkdir()
    (tmp_path / "x.yaml" / "y.yaml").write_text("a: b", encoding="utf-8")
    answer = ask(tmp_path)
    assert 1 == answer.status
    assert f"{tmp_path}/x.yaml:1:1" in answer.out
    assert f"{tmp_path}/x.yaml/y.yaml:1:1" in answer.out


def test_a_block_that_cannot_be_read_is_told_with_the_file_that_may_follow_it(ask: Ask, tmp_path: Path) -> None:
    """What a single file rests on and cannot be read is a result: without it nothing is known of the steps that follow it."""
    (tmp_path / "library.yaml").write_text("name: A book\n", encoding="utf-8")
    (tmp_path / "blocks").mkdir()
    (tmp_path / "blocks" / "gone.yaml").symlink_to("none")
    (tmp_path / "x.yaml").write_text("a: b", encoding="utf-8")
    answer = ask(tmp_path / "x.yaml")
    assert (1, "") == (answer.status, answer.err)
    assert f"{tmp_path}/blocks/gone.yaml:1:1" in answer.out


def test_a_block_of_broken_form_is_named_with_the_file_that_may_follow_it(ask: Ask, tmp_path: Path) -> None:
    """What a single file rests on and has the wrong form is named as not checked: what is said of the file does not cover it."""
    (tmp_path / "library.yaml").write_text("name: A book\n", encoding="utf-8")
    (tmp_path / "blocks").mkdir()
    (tmp_path / "blocks" / "show.yaml").write_text("block: show\n", encoding="utf-8")
    (tmp_path / "x.yaml").write_text("a: b", encoding="utf-8")
    answer = ask(tmp_path / "x.yaml")
    assert f"not checked: {tmp_path}/blocks/show.yaml: its steps," in " ".join(answer.out.split())


def test_nothing_in_a_folder(ask: Ask, tmp_path: Path) -> None:
    """An empty folder is a wrong call."""
    answer = ask(tmp_path)
    assert (2, "") == (answer.status, answer.out)
    assert f"There is no procedure in {tmp_path}." in answer.err


def test_no_library_here(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a path and without a library there is nothing to check."""
    monkeypatch.chdir(tmp_path)
    assert 2 == ask().status


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
@pytest.mark.parametrize("name", ["closed.yaml", "closed"])
def test_what_may_not_be_read(ask: Ask, tmp_path: Path, name: str) -> None:
    """A file or folder without permission to read is a wrong call by itself, and a result among others."""
    (tmp_path / "good.yaml").write_text(GOOD, encoding="utf-8")
    closed = tmp_path / name
    closed.mkdir() if name == "closed" else closed.write_text(GOOD, encoding="utf-8")
    closed.chmod(0)
    try:
        alone, within = ask(closed), ask(tmp_path)
    finally:
        closed.chmod(0o700)
    assert (2, "") == (alone.status, alone.out)
    assert f"{closed}: permission denied." in alone.err
    assert (1, "") == (within.status, within.err)
    assert f"This could not be read (permission denied). {closed}:1:1" in " ".join(within.out.split())
    assert "checked: 2 files" in within.out


@pytest.mark.parametrize("data", [b"a: b", b"\xff"], ids=["read", "refused"])
@pytest.mark.parametrize("name", [b"\x1b[31mred\x07.yaml", b"\xe9\xff.yaml", b"new\nline.yaml", "e\u202e.yaml".encode()])
def test_odd_names(ask: Ask, tmp_path: Path, name: bytes, data: bytes) -> None:
    """A name with escapes for the terminal, line ends or bytes that are no text is shown without them."""
    path = os.fsencode(tmp_path) + b"/" + name
    try:
        Path(os.fsdecode(path)).write_bytes(data)
    except OSError:
        pytest.skip("such a name cannot be given here")
    for asked in (os.fsdecode(path), str(tmp_path)):
        answer = ask(asked)
        assert (1, "") == (answer.status, answer.err)
        assert f"{tmp_path}/" in answer.out
        assert not {"\x1b", "\x07", "\u202e"} & set(answer.out)
        assert answer.out.isprintable() or answer.out.replace("\n", "").isprintable()


@pytest.mark.parametrize("name", ["\x1b[31mred.yaml", "new\nline.yaml", "\udcff.yaml"])
def test_odd_names_of_nothing(ask: Ask, tmp_path: Path, name: str) -> None:
    """The same holds where the call is wrong."""
    answer = ask(tmp_path / name)
    assert (2, "") == (answer.status, answer.out)
    assert answer.err.replace("\n", "").isprintable()
    assert 2 == len(answer.err.splitlines())


VANISHING = """
import os, sys
gone = sys.argv[3]
def vanish(event, given):
    if event == "open" and str(given[0]) == gone and os.path.exists(gone):
        os.unlink(gone)
sys.addaudithook(vanish)
from proclint.apps.cli import main
sys.argv[3:] = []
main()
"""


def test_a_file_that_vanishes(tmp_path: Path) -> None:
    """A file that was there when the folder was listed and is gone when it is opened is a result."""
    (tmp_path / "good.yaml").write_text(GOOD, encoding="utf-8")
    gone = tmp_path / "gone.yaml"
    gone.write_text(GOOD, encoding="utf-8")
    command = [sys.executable, "-c", VANISHING, "examine", str(tmp_path), str(gone)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert (1, "") == (done.returncode, done.stderr)
    assert f"This could not be read (no such file or directory). {gone}:1:1" in " ".join(done.stdout.split())
    assert not gone.exists()


MEASURED = """
import re, sys
def peak():
    with open("/proc/self/status") as stream:
        return int(re.search("VmHWM: *\\t* *([0-9]+) kB", stream.read())[1])
before = peak()
from proclint.apps.cli import main
try:
    main()
except SystemExit as stopped:
    print("above start:", (peak() - before) // 1024, "MiB")
    sys.exit(stopped.code)
"""


# The peak is that of this program alone; `getrusage` counts in what it was started from, too.
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="there is no /proc here")
@pytest.mark.parametrize("name", ["large.yaml", "facts/large.csv"])
def test_a_file_of_100_mb(tmp_path: Path, name: str) -> None:
    """A file of 100 MB is refused unread: the whole run peaks at most 60 MiB above the bare interpreter."""
    (tmp_path / "good.yaml").write_text(GOOD, encoding="utf-8")
    path = tmp_path / name
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as stream:
        stream.truncate(100_000_000)
    command = [sys.executable, "-c", MEASURED, "examine", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert 1 == done.returncode, done.stderr
    assert f"{path}:1:1" in done.stdout
    assert "This file is larger than 1024 KiB." in done.stdout
    *_, peak = done.stdout.splitlines()
    print(peak)
    assert 0 < int(peak.split()[2]) <= 60
