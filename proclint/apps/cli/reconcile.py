"""`proclint reconcile`: what the sources of a library say together."""

import sys
from pathlib import Path

import click

from proclint.apps.check import reconcile
from proclint.apps.cli.refusal import refuse
from proclint.apps.deliver import Target, put_all, read_targets
from proclint.engine.reconcile import Reconciliation, believing
from proclint.render.reconciled import belief_text, reconciled_text
from proclint.render.weighed import reconciled_lines, reconciled_markdown, weighed_csv
from proclint.settings import UsageProblem

_KINDS = {"markdown": reconciled_markdown, "lines": reconciled_lines, "csv": weighed_csv}

_EXAMPLES = """\
\b
Examples:
  proclint reconcile
  proclint reconcile --vehicle 'Corvane Halyard 2015 region-1'
  proclint reconcile --believe supplier-note-7:2:remote-cap
  proclint reconcile --report csv=believed.csv
"""


@click.command("reconcile", epilog=_EXAMPLES)
@click.argument("paths", metavar="[PATH]...", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option(
    "--vehicle", metavar="VEHICLE", default="", help="Show what is known of 'Corvane Halyard 2015 region-1', and who says so."
)
@click.option(
    "--believe", metavar="CLAIM", default="", help="Show what would change if this claim (SOURCE:ROW:COLUMN) were true."
)
@click.option(
    "--report",
    "written",
    metavar="KIND=FILE",
    multiple=True,
    help="Write a report too: markdown, lines (JSON Lines) or csv (the weighed table). With - for FILE it goes to standard "
    "output instead of the text.",
)
@click.option("--on", metavar="DATE", default=None, help="Read as on this day (2026-03-01) instead of today.")
def command(paths: tuple[Path, ...], vehicle: str, believe: str, written: tuple[str, ...], on: str | None) -> None:
    """Hold what sources say of vehicles against each other, and procedures against that.

    Every cell of the facts tables, and every line of the field reports, is a claim. Told are the smallest sets of claims that
    cannot all be true, where they bite, who makes them and what to ask first; then what procedures state against what is
    believed. Nothing is chosen for you.

    What accepted.yaml accepts is told as accepted and counts no more, until its day has passed.

    The exit status is 0 where all holds together, 1 where something is contradicted, could not be decided or could not be read,
    2 for a wrong call and 3 for a fault of proclint itself.
    """
    try:
        targets = read_targets(written, tuple(_KINDS))
        found, files = reconcile(paths, on=on, vehicle=vehicle)
        belief = believing(found, believe) if believe else None
        shown = _delivered(found, targets, files)
    except UsageProblem as problem:
        refuse(problem)
    if shown is not None:
        click.echo(shown, nl=False)
    elif belief is not None:
        click.echo(belief_text(belief, found.evidence), nl=False)
    else:
        click.echo(reconciled_text(found, of_vehicle=vehicle), nl=False)
    sys.exit(3 if found.own_faults else int(found.fails))


def _delivered(found: Reconciliation, targets: tuple[Target, ...], files: tuple[str, ...]) -> bytes | None:
    return put_all(targets, files, lambda kind: _KINDS[kind](found))
