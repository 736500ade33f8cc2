"""A library as it stands at a revision: the same files as `gather` gives, read out of git."""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from proclint.apps.files import MOST, REGISTERS, role, shown_name
from proclint.apps.git import Entry, commit_of, contents_of, entries_of, top_of
from proclint.engine import Input
from proclint.settings import UsageProblem

_LINK = "120000"
_FILES = ("100644", "100755", "100664")


class Revision(NamedTuple):
    """A revision as it was written, the full id of its commit, and the top folder of its repository."""

    written: str
    commit: str
    top: Path


def find_revision(written: str, paths: tuple[Path, ...]) -> Revision:
    """Find a revision in the repository that paths are in.

    Raises UsageProblem where there is no git, no repository or no such revision, and where a path leads out of the repository.
    """
    first = Path(os.path.realpath(paths[0]))
    top = Path(os.path.realpath(top_of(first if first.is_dir() else first.parent)))
    for path in paths:
        if not Path(os.path.realpath(path)).is_relative_to(top):
            raise UsageProblem(f"{shown_name(path)} lies outside of the repository.", f"Name what is in {shown_name(top)}.")
    return Revision(written, commit_of(written, top), top)


def gather_at(revision: Revision, paths: tuple[Path, ...]) -> list[Input]:
    """Read what `gather` gives for the same paths as it stands at a revision, under the same names.

    What is not there at the revision is left out: nothing may be left. A link is followed once, within the revision.
    """
    tree = _Tree.of(revision)
    found: dict[str, _Wanted] = {}
    for wanted in _wanted(tree, paths):
        found.setdefault(wanted.at, wanted)
    wanted_ids = (tree.files[each.at].content for each in found.values() if tree.files[each.at].size <= MOST)
    contents = contents_of(wanted_ids, revision.top)
    return [
        Input(shown_name(each.shown), role(each.shown) or "steps", contents.get(tree.files[each.at].content), each.is_context)
        for each in found.values()
    ]


class _Wanted(NamedTuple):
    """A file to read: its path from the top folder, the path that it is shown under, and whether it is only followed."""

    at: str
    shown: Path
    is_context: bool = False


class _Tree(NamedTuple):
    """The files of a revision by their path from the top folder."""

    top: Path
    files: Mapping[str, Entry]

    @classmethod
    def of(cls, revision: Revision) -> "_Tree":
        entries = entries_of(revision.commit, revision.top)
        files = {path: each for path, each in entries.items() if each.mode in _FILES}
        links = {path: each.content for path, each in entries.items() if each.mode == _LINK and role(Path(path))}
        targets = contents_of(links.values(), revision.top)
        for path, content in links.items():
            target = os.path.normpath(PurePosixPath(path).parent / os.fsdecode(targets[content]))
            if target in files:
                files[path] = files[target]
        return cls(revision.top, files)

    def path(self, path: Path) -> str:
        """Give the path from the top folder of one that may not be there any more."""
        # What is a link today may have been a file.
        real = Path(os.path.realpath(path)) if path.is_dir() else Path(os.path.realpath(path.parent), path.name)
        found = real.relative_to(self.top).as_posix()
        return "" if found == "." else found

    def below(self, folder: str) -> Iterator[str]:
        """Give the paths of the files below a folder that are part of a library, as a walk through folders meets them."""
        start = f"{folder}/" if folder else ""
        names = (path.removeprefix(start).split("/") for path in self.files if path.startswith(start))
        kept = [each for each in names if not any(part.startswith(".") for part in each) and role(Path(start, *each))]
        yield from (start + "/".join(each) for each in sorted(kept, key=_met))


def _met(parts: list[str]) -> list[tuple[bool, str]]:
    # The files of a folder before the folders in it.
    return [(number < len(parts) - 1, part) for number, part in enumerate(parts)]


def _wanted(tree: _Tree, paths: tuple[Path, ...]) -> Iterator[_Wanted]:
    single = []
    for path in paths:
        at = tree.path(path)
        if at in tree.files:
            single.append((path, at))
            yield _Wanted(at, path)
        yield from (_Wanted(each, path / each.removeprefix(at).removeprefix("/")) for each in tree.below(at))
    for path, at in single:
        yield from _context(tree, path, at)


def _context(tree: _Tree, path: Path, at: str) -> Iterator[_Wanted]:
    """Give the registers, blocks and facts of the library that a file is in, as at the revision."""
    beside = PurePosixPath(at).parent
    for folder in (*PurePosixPath(at).parents, beside / "procedures"):
        library = "" if str(folder) == "." else f"{folder}/"
        if f"{library}library.yaml" not in tree.files:
            continue
        real = tree.top / library
        shown = real if path.is_absolute() else Path(os.path.relpath(real))
        registers = [f"{library}{name}" for name in REGISTERS if f"{library}{name}" in tree.files]
        for each in (*registers, *tree.below(f"{library}blocks"), *tree.below(f"{library}facts")):
            yield _Wanted(each, shown / each.removeprefix(library), is_context=True)
        return
