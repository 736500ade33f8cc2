"""From paths to a report: what the command line and the Python API share."""

import gc
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from proclint.apps.files import find_library, gather
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Report, examine
from proclint.engine.vehicle import about, read_vehicle
from proclint.settings import UsageProblem

if TYPE_CHECKING:
    from proclint.engine.reconcile import Reconciliation

Progress = Callable[[int], AbstractContextManager[Callable[[str], None]]]


def check(
    paths: tuple[Path, ...],
    *,
    on: str | None,
    vehicle: str = "",
    progress: Progress = lambda _: nullcontext(lambda _: None),
) -> Report:
    """Check files and folders, or without any the library found from here, as on a day (ISO 8601; none = today).

    With a vehicle only the procedures that apply to it are checked. Raises UsageProblem where nothing can be checked or the
    day does not exist.
    """
    day = day_of(on)
    inputs = gather(paths or (_library(),))
    if vehicle:
        inputs = list(about(read_vehicle(vehicle), inputs, standard(), on=day))
    with progress(2 * len(inputs)) as step, _without_collector():
        return examine(inputs, standard(), known_rules(), on=day, progress=step)


def reconcile(paths: tuple[Path, ...], *, on: str | None, vehicle: str = "") -> tuple["Reconciliation", tuple[str, ...]]:
    """Hold what the sources of a library say against each other, of one vehicle where one is named; and name the files read.

    Raises UsageProblem where there is no library, or no such vehicle can be.
    """
    # Loaded here, and not for every command.
    from proclint.engine.reconcile import reconcile_files

    day = day_of(on)
    inputs = gather(paths or (_library(),))
    meant = read_vehicle(vehicle) if vehicle else None
    with _without_collector():
        return reconcile_files(inputs, standard(), known_rules(), on=day, vehicle=meant), tuple(each.name for each in inputs)


def check_since(
    paths: tuple[Path, ...], revision: str, *, on: str | None, progress: Progress = lambda _: nullcontext(lambda _: None)
) -> Report:
    """Check as `check` does, by the bar of a git revision, and say how each result stands to those of that revision.

    Raises UsageProblem, too, where the revision cannot be read.
    """
    from proclint.apps.revisions import find_revision, gather_at
    from proclint.engine.since import Versions, examine_since

    day = day_of(on)
    chosen = paths or (_library(),)
    inputs = gather(chosen)
    found = find_revision(revision, chosen)
    versions = Versions(tuple(inputs), tuple(gather_at(found, chosen)), f"{found.written} ({found.commit[:12]})")
    with progress(2 * len(inputs)) as step, _without_collector():
        return examine_since(versions, standard(), known_rules(), on=day, progress=step)


@contextmanager
def _without_collector() -> Iterator[None]:
    """Leave the cyclic collector off: what a check makes holds no cycles, and looking for some costs a tenth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def day_of(on: str | None) -> str:
    """Give a day as ISO 8601 writes it, today for none. Raises UsageProblem where it does not exist."""
    try:
        return (date.fromisoformat(on) if on else date.today()).isoformat()
    except ValueError as error:
        raise UsageProblem(f"--on: '{on}' is not a day.", "Write it as 2026-03-01.") from error


def _library() -> Path:
    library = find_library(Path())
    if library is None:
        raise UsageProblem("There is no library here.", "Name a procedure file, or a folder with a library.yaml.")
    return library
