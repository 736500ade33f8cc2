"""From paths and what they are held against to a review."""

from pathlib import Path
from typing import NamedTuple

from proclint.apps.check import day_of
from proclint.apps.files import find_library, gather, seen, shown_name
from proclint.apps.revisions import find_revision, gather_at
from proclint.apps.rule_set import known_rules
from proclint.engine import Input
from proclint.review import Edition, Review, review
from proclint.settings import UsageProblem


def review_paths(paths: tuple[Path, ...], *, against: str, on: str | None) -> Review:
    """Review files or, where none is named, all that differ in meaning in the library found from here.

    Raises UsageProblem where nothing can be read, or nothing is named and nothing compared.
    """
    if not paths and not against:
        raise UsageProblem("There is nothing to review.", "Name a FILE, or say --against what the library is to be held.")
    day = day_of(on)
    sides = _sides(paths, against)
    new = Edition.of(sides.now, known_rules(), day)
    old = Edition.of(sides.before, known_rules(), day) if against else None
    return review(new, old, known_rules(), sides.files, against=sides.against)


class _Sides(NamedTuple):
    """The files now and before, the names of those to account for, and what they are held against, in words."""

    now: list[Input]
    before: list[Input]
    files: list[str]
    against: str


def _sides(paths: tuple[Path, ...], against: str) -> _Sides:
    libraries = _libraries(paths)
    now = gather(libraries)
    files = _chosen(paths, now, libraries if against else ())
    other = Path(against)
    if not against:
        return _Sides(now, [], files, "")
    if seen(other.exists):
        _refuse_two_meanings(against, libraries)
        if other.is_file():
            return _held_against_file(now, files, other)
        return _Sides(now, _in_place(gather((other,)), other, libraries[0]), files, shown_name(other))
    found = find_revision(against, libraries)
    return _Sides(now, gather_at(found, libraries), files, f"{found.written} ({found.commit[:12]})")


def _refuse_two_meanings(against: str, libraries: tuple[Path, ...]) -> None:
    """Raise UsageProblem where a name is that of a revision and of a path: a contribution may bring the path."""
    # No revision begins so (git-check-ref-format).
    if against.startswith((".", "/")):
        return
    try:
        find_revision(against, libraries)
    except UsageProblem:
        return
    change = f"Write ./{against} for what lies here, or the revision in full, such as refs/heads/{against} or its commit."
    raise UsageProblem(f"'{against}' is a revision, and lies here too.", change)


def _in_place(inputs: list[Input], other: Path, library: Path) -> list[Input]:
    """Give the files of a folder under the names that they would have in the library: that it lies elsewhere was asked for."""
    base = library if library.is_dir() else library.parent
    return [each._replace(name=shown_name(base / Path(each.name).relative_to(other))) for each in inputs]


def _held_against_file(inputs: list[Input], files: list[str], other: Path) -> _Sides:
    """Hold one file against another, in its place among the rest."""
    if len(files) != 1:
        raise UsageProblem(f"{shown_name(other)} is one file.", "Name the one FILE that is to be held against it.")
    found = next(each for each in gather((other,)) if Path(each.name).resolve() == other.resolve())
    now = [each for each in inputs if each.name == files[0] or each.name != found.name]
    rest = [each for each in now if each.name != files[0]]
    # Under the same name: that it bears another is what was asked for, and no change.
    return _Sides(now, [*rest, found._replace(name=files[0], is_context=False)], files, shown_name(other))


def _libraries(paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """Give the libraries that files are in, so that neighbours are known; a file in none stands for itself."""
    if not paths:
        library = find_library(Path())
        if library is None:
            raise UsageProblem("There is no library here.", "Name a procedure file.")
        return (library,)
    found = (find_library(path if seen(path.is_dir) else path.parent) or path for path in paths)
    return tuple(dict.fromkeys((*found, *paths)))


def _chosen(paths: tuple[Path, ...], inputs: list[Input], whole: tuple[Path, ...]) -> list[str]:
    """Give the names of the files to account for: those named, and the procedures and blocks in a folder that is named.

    A `whole` library stands for all that changes in it, and names none.
    """
    names = {Path(each.name).resolve(): each for each in inputs}
    known = {library.resolve() for library in whole if (library / "library.yaml").is_file()}
    chosen: dict[str, None] = {}
    for path in (each.resolve() for each in paths):
        if path in names:
            chosen[names[path].name] = None
        elif not any(library.is_relative_to(path) for library in known):
            chosen |= {each.name: None for real, each in names.items() if each.kind == "steps" and real.is_relative_to(path)}
    return list(chosen)
