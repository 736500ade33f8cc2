"""Calls git: no shell, nothing checked out, nothing written."""

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from proclint.settings import UsageProblem

# A hook gets these for the commit that is being made; they would lead away from the folder that is asked about.
_OF_A_HOOK = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX")
_BACK = re.compile(r"~(\d*)|\^")


class Entry(NamedTuple):
    """A file in a commit: its mode as git writes it, the id of its content and its size in bytes."""

    mode: str
    content: str
    size: int


def top_of(folder: Path) -> Path:
    """Give the top folder of the repository that a folder is in. Raises UsageProblem where it is in none."""
    done = _run(folder, "rev-parse", "--show-toplevel")
    if done.returncode == 0:
        return Path(os.fsdecode(done.stdout.removesuffix(b"\n")))
    said = done.stderr.decode("utf-8", "replace")
    if "dubious ownership" in said:
        change = "If you trust it: `git config --global --add safe.directory FOLDER`."
        raise UsageProblem(f"The repository of {folder} belongs to another user, so git does not read it.", change)
    raise UsageProblem(f"{folder} is in no git repository with files.", "Go into a clone of the library.")


def commit_of(written: str, top: Path) -> str:
    """Give the full id of the commit that a revision names. Raises UsageProblem where there is none."""
    if ".." in written:
        raise UsageProblem(f"'{written}' is a range; one revision is needed.", "Name the one that it begins with.")
    # What begins with a hyphen would be an option to git, with ^ all that is not in a commit.
    if written and written[0] not in "-^" and "\0" not in written:
        done = _run(top, "rev-parse", "--verify", "--quiet", f"{written}^{{commit}}")
        if done.returncode == 0:
            return done.stdout.decode("ascii").strip()
    raise UsageProblem(f"There is no revision '{written}' here.", _how_to_get(written, top))


def _how_to_get(written: str, top: Path) -> str:
    if _run(top, "rev-parse", "--is-shallow-repository").stdout.strip() != b"true":
        return "`git log --oneline` and `git branch --all` show what there is."
    start = _BACK.split(written)[0]
    depth = 1 + sum(int(back[1] or 1) for back in _BACK.finditer(written.removeprefix(start)))
    named = "" if start in ("HEAD", "@", "") else f" origin {start.removeprefix('origin/')}"
    return f"This clone is cut off behind its last commits: `git fetch --depth={depth}{named}` fetches what is needed."


def entries_of(commit: str, top: Path) -> dict[str, Entry]:
    """Give all files of a commit by their path from the top folder."""
    listed = _run(top, "ls-tree", "-r", "-z", "-l", "--full-tree", commit)
    return dict(map(_entry, _expected(listed).split(b"\0")[:-1]))


def _entry(line: bytes) -> tuple[str, Entry]:
    facts, _, path = line.partition(b"\t")
    mode, _, content, size = facts.decode("ascii").split()
    # What is no file of this repository has no size.
    return os.fsdecode(path), Entry(mode, content, int(size) if size.isdigit() else 0)


def contents_of(ids: Iterable[str], top: Path) -> dict[str, bytes]:
    """Give the bytes of contents by their ids. Raises UsageProblem where one is not in the clone."""
    asked = tuple(dict.fromkeys(ids))
    if not asked:
        return {}
    done = _run(top, "cat-file", "--batch", given="".join(f"{each}\n" for each in asked).encode())
    return dict(zip(asked, _contents(_expected(done)), strict=True))


def _contents(answer: bytes) -> Iterator[bytes]:
    at = 0
    while at < len(answer):
        end = answer.index(b"\n", at)
        head = answer[at:end].split()
        if head[-1] == b"missing":
            raise UsageProblem("A file of that revision is not in this clone.", "Fetch it whole: `git fetch --refetch`.")
        at = end + 1 + int(head[-1])
        yield answer[end + 1 : at]
        # A line end follows each.
        at += 1


def _expected(done: "subprocess.CompletedProcess[bytes]") -> bytes:
    if done.returncode != 0:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines() or ["it gave no reason"]
        raise UsageProblem(f"git: {said[-1]}", "Mend the clone: `git fsck` shows what is wrong with it.")
    return done.stdout


def _run(folder: Path, *arguments: str, given: bytes = b"") -> "subprocess.CompletedProcess[bytes]":
    program = shutil.which("git")
    if program is None:
        raise UsageProblem("There is no git here, and a revision can be read by nothing else.", "Install git.")
    surroundings = {name: value for name, value in os.environ.items() if name not in _OF_A_HOOK}
    # Its words are looked at, and nothing may be asked of a person.
    surroundings |= {"LC_ALL": "C", "GIT_TERMINAL_PROMPT": "0", "GIT_OPTIONAL_LOCKS": "0"}
    command = [program, "--no-replace-objects", "-C", str(folder), *arguments]
    return subprocess.run(command, input=given, capture_output=True, check=False, env=surroundings)
