"""`proclint examine`: the main job."""

import sys
from pathlib import Path

import click

from proclint.apps.check import check
from proclint.apps.cli.refusal import refuse
from proclint.apps.deliver import REPORT_HELP, deliver, read_targets
from proclint.apps.terminal import in_colour, progress
from proclint.render.plain import harmless
from proclint.render.text import text_report
from proclint.settings import UsageProblem

_EXAMPLES = """\
\b
Examples:
  proclint examine
  proclint examine procedures/corvane/halyard-relearn-remotes.yaml
  proclint examine --report sarif=results.sarif --report lines=-
"""


@click.command("examine", epilog=_EXAMPLES)
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option("--all", "is_whole", is_flag=True, help="Show every result in full, not only the first five.")
@click.option(
    "--report",
    "written",
    metavar="KIND=FILE",
    multiple=True,
    help=REPORT_HELP,
)
@click.option("--on", metavar="DATE", default=None, help="Check as on this day (2026-03-01) instead of today.")
@click.option("--vehicle", metavar="VEHICLE", default="", help="Check only what applies to 'Corvane Halyard 2015 region-1'.")
def command(paths: tuple[Path, ...], is_whole: bool, written: tuple[str, ...], on: str | None, vehicle: str) -> None:
    """Check procedures, or a whole library of them.

    PATH is a procedure, a block or a folder. Without one, the library is the nearest folder upwards with a
    library.yaml, else procedures/. A single file is checked with the blocks and settings of its library.

    What is found is told with the most dangerous first: what happens at the vehicle, where that is written,
    the shortest way that leads there, and the smallest change that mends it.

    The exit status is 0 where nothing is at or above the failing level, 1 where something is, 2 for a wrong
    call and 3 for a fault of proclint itself.
    """
    try:
        targets = read_targets(written)
        report = check(paths, on=on, vehicle=vehicle, progress=progress)
        shown = deliver(report, targets)
    except UsageProblem as problem:
        refuse(problem)
    if vehicle:
        click.echo(harmless(f"for {vehicle}: {', '.join(report.files)}"), err=True)
    if shown is None:
        click.echo(text_report(report, in_colour=in_colour(), is_whole=is_whole), nl=False)
    else:
        click.echo(shown, nl=False)
    sys.exit(3 if report.own_faults else int(report.fails))
