"""Finding and reading the files of a library, each with its role."""

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from proclint.engine import Input
from proclint.settings import UsageProblem
from proclint.source import Limits

_ROLES = {"library.yaml": "library", "sources.yaml": "sources", "accepted.yaml": "accepted"}
_LIMITS = Limits()


def find_library(start: Path) -> Path | None:
    """Give the nearest folder with a `library.yaml`, from `start` upwards, else `procedures/` there."""
    for folder in (start, *start.parents):
        if (folder / "library.yaml").is_file():
            return folder
    beside = start / "procedures"
    return beside if (beside / "library.yaml").is_file() else None


def gather(paths: tuple[Path, ...]) -> list[Input]:
    """Read what is to be checked and what it rests on.

    A folder stands for all its procedures, blocks, facts and registers. With a single file come the blocks, settings and
    registers of its library, as context. Raises UsageProblem where a path cannot be read or nothing is there to check.
    """
    found: dict[Path, Input] = {}
    for path in paths:
        chosen = list(_files_of(path))
        for each in chosen:
            found[each] = _read(each, is_context=False)
        if path.is_file():
            for each in _context_of(path):
                found.setdefault(each, _read(each, is_context=True))
    if not any(each.kind == "steps" and not each.is_context for each in found.values()):
        named = ", ".join(map(str, paths))
        raise UsageProblem(f"There is no procedure in {named}.", "Name a procedure file, or a folder with a library.yaml.")
    return list(found.values())


def _files_of(path: Path) -> Iterator[Path]:
    try:
        mode = path.stat().st_mode
    except OSError as error:
        raise UsageProblem(f"{path}: {_reason(error)}.", "Name a file or folder that can be read.") from error
    if not stat.S_ISDIR(mode):
        yield path
        return
    # Links are not followed, so a ring of them cannot trap the walk.
    for folder, folders, names in os.walk(path):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            each = Path(folder, name)
            if role(each) and not name.startswith("."):
                yield each


def _context_of(path: Path) -> Iterator[Path]:
    library = find_library(path.resolve().parent)
    if library is None:
        return
    shown = Path(os.path.relpath(library)) if not path.is_absolute() else library
    yield from (each for each in (shown / name for name in ("library.yaml", "sources.yaml")) if each.is_file())
    blocks = shown / "blocks"
    if blocks.is_dir():
        yield from (each for each in _files_of(blocks) if each.resolve() != path.resolve())


def role(path: Path) -> str:
    """Say what a file is by its name: nothing for one that is no part of a library."""
    if path.suffix == ".csv":
        return "facts" if path.parent.name == "facts" else ""
    if path.suffix not in (".yaml", ".yml"):
        return ""
    return _ROLES.get(path.name, "steps")


def _read(path: Path, *, is_context: bool) -> Input:
    kind = role(path) or "steps"
    most = _LIMITS.table_size if kind == "facts" else _LIMITS.size
    try:
        # A pipe or a device could block for ever, and a folder has no text.
        if not stat.S_ISREG(path.stat().st_mode):
            raise UsageProblem(f"{path} is not a file.", "Name a file of text.")
        with path.open("rb") as stream:
            data = stream.read(most + 1)
    except OSError as error:
        raise UsageProblem(f"{path}: {_reason(error)}.", "Make it readable, or leave it out.") from error
    return Input(path.as_posix(), kind, None if len(data) > most else data, is_context)


def _reason(error: OSError) -> str:
    return (error.strerror or "cannot be read").lower()
