"""`proclint gate`: what a contribution must pass."""

import sys
from pathlib import Path

import click

from proclint.apps.check import check, check_since
from proclint.apps.cli.refusal import refuse
from proclint.apps.deliver import REPORT_HELP, deliver, read_targets
from proclint.apps.terminal import in_colour, progress
from proclint.render.text import text_report
from proclint.render.verdict import verdict
from proclint.settings import UsageProblem

_EXAMPLES = """\
\b
Examples:
  proclint gate
  proclint gate --since origin/main
  proclint gate --since HEAD~1 --report junit=gate.xml
"""


@click.command("gate", epilog=_EXAMPLES)
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option(
    "--since", "revision", metavar="REV", default=None, help="Hold only what is new since this git revision to the bar."
)
@click.option("--report", "written", metavar="KIND=FILE", multiple=True, help=REPORT_HELP)
@click.option("--on", metavar="DATE", default=None, help="Check as on this day (2026-03-01) instead of today.")
def command(paths: tuple[Path, ...], revision: str | None, written: tuple[str, ...], on: str | None) -> None:
    """Let a contribution through, or not.

    Everything is checked as by `proclint examine`, and every result told in full. With --since only what a change
    brings keeps the gate shut: a result that was not there at REV, that weighs more than it did, or that is accepted
    no longer, in the files that changed as in those that follow a changed block. The change is held to the bar as it
    stood at REV: levels, the failing level and accepted results; what it lowers is an error of its own.

    Nothing is checked out. The exit status is 0 where the gate opens, 1 where it stays shut, 2 for a wrong call
    and 3 for a fault of proclint itself.
    """
    try:
        targets = read_targets(written)
        if revision is None:
            report = check(paths, on=on, progress=progress)
        else:
            report = check_since(paths, revision, on=on, progress=progress)
        shown = deliver(report, targets)
    except UsageProblem as problem:
        refuse(problem)
    if shown is None:
        click.echo(f"{text_report(report, in_colour=in_colour(), is_whole=True)}\n{verdict(report)}")
    else:
        click.echo(shown, nl=False)
    sys.exit(3 if report.own_faults else int(report.fails))
