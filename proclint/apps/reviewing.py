"""From paths and what they are held against to a review."""

from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from proclint.apps.check import day_of
from proclint.apps.files import find_library, gather, shown_name
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
    files = _chosen(paths, now)
    other = Path(against)
    if not against:
        return _Sides(now, [], files, "")
    if other.is_dir():
        return _Sides(now, gather((other,)), files, against)
    if other.is_file():
        return _held_against_file(now, files, other)
    found = find_revision(against, libraries)
    return _Sides(now, gather_at(found, libraries), files, f"{found.written} ({found.commit[:12]})")


def _held_against_file(inputs: list[Input], files: list[str], other: Path) -> _Sides:
    """Hold one file against another, in its place among the rest."""
    if len(files) != 1:
        raise UsageProblem(f"{shown_name(other)} is one file.", "Name the one FILE that is to be held against it.")
    found = next(each for each in gather((other,)) if Path(each.name).resolve() == other.resolve())
    now = [each for each in inputs if each.name == files[0] or each.name != found.name]
    rest = [each for each in now if each.name != files[0]]
    # Under the same name: that it bears another is what was asked for, and no change.
    return _Sides(now, [*rest, replace(found, name=files[0], is_context=False)], files, shown_name(other))


def _libraries(paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """Give the libraries that files are in, so that neighbours are known; a file in none stands for itself."""
    if not paths:
        library = find_library(Path())
        if library is None:
            raise UsageProblem("There is no library here.", "Name a procedure file.")
        return (library,)
    found = (path if path.is_dir() else find_library(path.parent) or path for path in paths)
    return tuple(dict.fromkeys((*found, *paths)))


def _chosen(paths: tuple[Path, ...], inputs: list[Input]) -> list[str]:
    """Give the names of the files to account for: a folder stands for all that changes in it, so it names none."""
    names = {Path(each.name).resolve(): each.name for each in inputs}
    return [names[path.resolve()] for path in paths if path.resolve() in names]
