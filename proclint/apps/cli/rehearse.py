"""`proclint rehearse`: walk a procedure step by step."""

from datetime import date
from pathlib import Path
from shlex import quote

import click

from proclint.analysis.states.endings import endings
from proclint.analysis.states.rehearsal import Moment, Rehearsal
from proclint.apps.choosers import Chooser, ask, from_script, refuse_left_over
from proclint.apps.cli.refusal import refuse
from proclint.apps.files import gather_for
from proclint.catalogue import standard
from proclint.engine.rehearse import rehearse
from proclint.render import endings as shown
from proclint.render.plain import harmless
from proclint.render.rehearsal import opening, page
from proclint.settings import UsageProblem

_EXAMPLES = """\
\b
Examples:
  proclint rehearse procedures/corvane/halyard-relearn-remotes.yaml
  proclint rehearse --all-endings procedures/brindlow/fenn-add-key.yaml
"""


@click.command("rehearse", epilog=_EXAMPLES)
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, readable=False))
@click.option(
    "--outcomes",
    "written",
    metavar="NAME,NAME...",
    multiple=True,
    help="Take these outcomes, by name or number, one after the other, wherever there is more than one; then "
    "nothing is asked. May be given more than once.",
)
@click.option("--all-endings", is_flag=True, help="Show the shortest way to each ending instead.")
def command(file: Path, written: tuple[str, ...], all_endings: bool) -> None:
    """Walk a procedure step by step, as if at a vehicle.

    FILE is a procedure. At each step comes what is written there, how keys and vehicle stand, what the watch
    shows, and the outcomes that are possible as things stand; you choose one by its number or name. At the end
    comes which keys work, what is left open, how long it took, and the line that takes the same way again.

    Nothing is sent to a vehicle. The exit status is 0 at an ending, 2 for a wrong call or a way broken off, and
    3 for a fault of proclint itself.
    """
    if all_endings and written:
        refuse(UsageProblem("--all-endings takes no --outcomes.", "Leave one of them out."))
    try:
        rehearsal = _rehearsal(file)
        click.echo(opening(rehearsal))
        if all_endings:
            _show_endings(rehearsal)
        else:
            outcomes = tuple(name.strip() for text in written for name in text.split(","))
            arrived = _walk(rehearsal, from_script(outcomes) if written else ask)
            refuse_left_over(outcomes, arrived)
            click.echo(shown.ending(arrived))
    except UsageProblem as problem:
        refuse(problem)


def _rehearsal(file: Path) -> Rehearsal:
    inputs = gather_for(file)
    return rehearse(inputs, inputs[0].name, standard(), on=date.today().isoformat())


def _show_endings(rehearsal: Rehearsal) -> None:
    for text in shown.all_endings(endings(rehearsal)):
        click.echo(text)


def _walk(rehearsal: Rehearsal, choose: Chooser) -> Moment:
    moment, number = rehearsal.begin(), 1
    while moment.options:
        click.echo(page(moment, number))
        moment, number = _next(moment, choose), number + 1
    if not moment.spot.is_last:
        click.echo(page(moment, number))
        raise UsageProblem(f"No way leads on from '{moment.spot.name}'.", "Run `proclint examine` on this file.")
    return moment


def _next(moment: Moment, choose: Chooser) -> Moment:
    try:
        name = choose(moment)
    except (EOFError, KeyboardInterrupt) as stop:
        so_far = shown.script(moment)
        change = f"To come here again: --outcomes {quote(so_far)}" if so_far else "Nothing was chosen yet."
        raise UsageProblem("The rehearsal was broken off before an ending.", change) from stop
    click.echo(f"> {harmless(name)}\n")
    return moment.take(name)
