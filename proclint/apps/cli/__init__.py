"""The command line: one module a command, loaded when it is called."""

import gc
import importlib
import sys

import click

from proclint import __version__

_COMMANDS = ("examine", "gate", "reconcile", "rehearse", "review", "rules")


class _Commands(click.Group):
    """Names the commands without loading them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"proclint.apps.cli.{cmd_name}").command
        return command


_COMPLETION = """\
A shell completes commands, options and rule names after one line in its start-up file.

\b
  bash  ~/.bashrc   eval "$(_PROCLINT_COMPLETE=bash_source proclint)"
  zsh   ~/.zshrc    eval "$(_PROCLINT_COMPLETE=zsh_source proclint)"
  fish  ~/.config/fish/completions/proclint.fish
                    _PROCLINT_COMPLETE=fish_source proclint | source
"""


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]}, epilog=_COMPLETION)
@click.version_option(__version__, message="proclint %(version)s")
def group() -> None:
    """Check procedures for vehicle keys and remotes before anyone follows them.

    A procedure is read as a step graph. What is wrong with it is told as what happens at the vehicle, where
    it is written, the shortest way that leads there, and the smallest change that mends it.
    """


def main() -> None:
    """Run the command line. Exit status: 0 clean, 1 results, 2 wrong call, 3 a fault of proclint itself."""
    # A run is short, and what it makes goes with it: looking for cycles while modules load and at the end took a fifth of it.
    gc.disable()
    try:
        group(prog_name="proclint")
    except Exception as error:  # noqa: BLE001
        click.echo(f"proclint: a fault of proclint itself: {type(error).__name__}: {error}", err=True)
        sys.exit(3)
    finally:
        gc.freeze()
        gc.enable()
