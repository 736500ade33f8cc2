"""Run the command line as `python -m proclint`."""

from proclint.apps.cli import main

main()
