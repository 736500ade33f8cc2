"""`proclint examine`: the main job."""

import sys
from datetime import date
from pathlib import Path

import click

from proclint.apps.files import find_library, gather
from proclint.apps.rule_set import known_rules
from proclint.apps.terminal import in_colour, progress
from proclint.catalogue import standard
from proclint.engine import Report, examine
from proclint.render.text import text_report
from proclint.settings import UsageProblem


@click.command("examine")
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option("--all", "is_whole", is_flag=True, help="Show every result in full, not only the first five.")
@click.option("--on", metavar="DATE", default=None, help="Check as on this day (2026-03-01) instead of today.")
def command(paths: tuple[Path, ...], is_whole: bool, on: str | None) -> None:
    """Check procedures, or a whole library of them.

    PATH is a procedure, a block or a folder. Without one, the library is the nearest folder upwards with a library.yaml,
    else procedures/.
    """
    try:
        report = _report(paths, on or date.today().isoformat())
    except UsageProblem as problem:
        click.echo(f"proclint: {problem.what}\n{problem.change}", err=True)
        sys.exit(2)
    click.echo(text_report(report, in_colour=in_colour(), is_whole=is_whole), nl=False)
    sys.exit(3 if report.own_faults else int(report.fails))


def _report(paths: tuple[Path, ...], on: str) -> Report:
    if not paths:
        library = find_library(Path())
        if library is None:
            raise UsageProblem("There is no library here.", "Name a procedure file, or a folder with a library.yaml.")
        paths = (library,)
    inputs = gather(paths)
    with progress(2 * len(inputs)) as step:
        return examine(inputs, standard(), known_rules(), on=on, progress=step)
