"""Finding and reading the files of a library, each with its role."""

import errno
import io
import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

from proclint.engine import Input
from proclint.render.plain import harmless
from proclint.settings import UsageProblem
from proclint.source import Limits

REGISTERS = {"library.yaml": "library", "sources.yaml": "sources", "accepted.yaml": "accepted"}
MOST = Limits().size


def find_library(start: Path) -> Path | None:
    """Give the nearest folder with a `library.yaml`, from `start` upwards, else `procedures/` there.

    It is relative to the current folder where `start` is.
    """
    real = Path(os.path.realpath(start))
    for folder in (real, *real.parents, real / "procedures"):
        if _is_file(folder / "library.yaml"):
            return folder if start.is_absolute() else Path(os.path.relpath(folder))
    return None


def gather(paths: tuple[Path, ...]) -> list[Input]:
    """Read what is to be checked and what it rests on, each file once.

    A folder stands for all its procedures, blocks, facts and registers. With a single file come the blocks,
    facts, settings and registers of its library, as context. What lies in a folder and cannot be read is given without
    data, to be told with the results; so is a link that leads out of the library. Raises UsageProblem where a path itself
    cannot be read or nothing is there to check.
    """
    chosen = [(each, False, path) for path in paths for each in _files_of(path)]
    chosen += [(each, True, path) for path in filter(_is_file, paths) for each in _context_of(path)]
    whole = {path: _whole(path) for path in paths}
    found: dict[str, Input] = {}
    for each, is_context, path in chosen:
        real = os.path.realpath(each)
        if real not in found:
            leads_out = each not in paths and not Path(real).is_relative_to(whole[path])
            found[real] = _stranger(each, is_context=is_context) if leads_out else _read(each, is_context=is_context)
        if each in paths and found[real].unread:
            raise UsageProblem(f"{_shown(each)}: {found[real].unread}.", "Make it readable, or leave it out.")
    if not any(each.kind == "steps" and not each.is_context for each in found.values()):
        named = ", ".join(map(_shown, paths))
        change = "Name a procedure file, or a folder with a library.yaml."
        raise UsageProblem(f"There is no procedure in {named}.", change)
    return list(found.values())


def gather_for(path: Path) -> list[Input]:
    """Read one procedure, which comes first, and what it rests on, what sources say of vehicles included.

    Raises UsageProblem where it is a folder, cannot be read or is no procedure or block.
    """
    if _is_folder(path):
        raise UsageProblem(f"{_shown(path)} is a folder.", "Name one procedure of it.")
    library = find_library(Path(os.path.realpath(path)).parent)
    facts = (library / "facts",) if library is not None and (library / "facts").is_dir() else ()
    return gather((path, *facts))


def _files_of(path: Path) -> Iterator[Path]:
    if not _is_folder(path):
        yield path
        return
    stuck: list[OSError] = []
    # Links to folders are not followed, so a ring of them cannot trap the walk.
    for folder, folders, names in os.walk(path, onerror=stuck.append):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        # A folder that bears the name of a file is looked into, and told too: somebody takes it for one.
        for name in sorted((*names, *folders)):
            each = Path(folder, name)
            if role(each) and not name.startswith("."):
                yield each
    yield from (Path(error.filename) for error in stuck)


def _context_of(path: Path) -> Iterator[Path]:
    library = find_library(Path(os.path.realpath(path)).parent)
    if library is None:
        return
    shown = library if path.is_absolute() else Path(os.path.relpath(library))
    yield from filter(_is_file, (shown / name for name in REGISTERS))
    for folder in ("blocks", "facts"):
        if (shown / folder).is_dir():
            yield from _files_of(shown / folder)


def role(path: Path) -> str:
    """Say what a file is by its name: nothing for one that is no part of a library."""
    ending = path.suffix.lower()
    if ending == ".csv":
        return "facts" if path.parent.name == "facts" else ""
    if ending not in (".yaml", ".yml"):
        return ""
    return REGISTERS.get(path.name, "steps")


def _whole(path: Path) -> Path:
    """Give the real folder that links may lead about in: that of the library, else the one that was named."""
    real = Path(os.path.realpath(path))
    if _is_file(path):
        return find_library(real.parent) or real.parent
    library = find_library(real)
    return library if library is not None and real.is_relative_to(library) else real


def _stranger(path: Path, *, is_context: bool) -> Input:
    # A report shows lines of the files that it is about: those of the machine are none of the library's business.
    return Input(shown_name(path), role(path), None, is_context, unread="is a link that leads out of the library")


def _read(path: Path, *, is_context: bool) -> Input:
    kind = role(path) or ("facts" if path.suffix.lower() == ".csv" else "steps")
    try:
        return Input(shown_name(path), kind, _data(path), is_context)
    except OSError as error:
        # Told whoever asked: what it would have said of the others is not known.
        return Input(shown_name(path), kind, None, unread=_reason(error))


def _data(path: Path) -> bytes | None:
    with io.BufferedReader(io.FileIO(path, opener=_at_once)) as stream:
        status = os.fstat(stream.fileno())
        if not stat.S_ISREG(status.st_mode):
            raise OSError(errno.EINVAL, "is not a file")
        data = stream.read(MOST + 1) if status.st_size <= MOST else None
    return None if data is None or len(data) > MOST else data


def _at_once(path: str, flags: int) -> int:
    # Without waiting: a pipe that nobody writes to would hold the opening up for ever.
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _is_folder(path: Path) -> bool:
    try:
        return stat.S_ISDIR(path.stat().st_mode)
    except (OSError, ValueError) as error:
        said = f"{_shown(path)}: {_reason(error)}."
        raise UsageProblem(said, "Name a file or folder that can be read.") from error


def _is_file(path: Path) -> bool:
    return seen(path.is_file)


def seen(look: Callable[[], bool]) -> bool:
    """Give what a look at a path says; what may not be looked at is not there for us: a folder far up, mostly."""
    try:
        return look()
    except OSError:
        return False


def shown_name(path: Path) -> str:
    """Give a path as text, bytes that are no UTF-8 written out in hexadecimal."""
    return os.fsencode(path.as_posix()).decode("utf-8", "backslashreplace")


def _shown(path: Path) -> str:
    return harmless(shown_name(path))


def _reason(error: OSError | ValueError) -> str:
    return (getattr(error, "strerror", None) or str(error)).lower()
