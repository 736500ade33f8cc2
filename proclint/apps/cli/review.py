"""`proclint review`: what a contribution means."""

import sys
from pathlib import Path

import click

from proclint.apps.cli.refusal import refuse
from proclint.apps.deliver import put_all, read_targets
from proclint.apps.reviewing import review_paths
from proclint.render.review.folio import folio_of
from proclint.render.review.leaf import Folio
from proclint.settings import UsageProblem

_KINDS = ("markdown", "html")
_EXAMPLES = """\
\b
Examples:
  proclint review --against HEAD~1
  proclint review procedures/ostrel/tarn-add-fob.yaml
  proclint review --against main --report html=review.html
"""


@click.command("review", epilog=_EXAMPLES)
@click.argument("paths", metavar="[FILE]...", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option("--against", metavar="REV|FILE", default="", help="Hold against a git revision, or another file or folder.")
@click.option(
    "--report",
    "written",
    metavar="KIND=FILE",
    multiple=True,
    help="Write the review in another form too: markdown (for a comment, within its size limit) or html (one page "
    "that loads nothing and prints). With - for FILE it goes to standard output instead of the text.",
)
@click.option("--on", metavar="DATE", default=None, help="Review as on this day (2026-03-01) instead of today.")
def command(paths: tuple[Path, ...], against: str, written: tuple[str, ...], on: str | None) -> None:
    """Show what a person has to see before a contribution is taken.

    For each FILE, or for each that differs in meaning: what blocks it, results with the way to them, what the change means,
    the course of the work, every ending with its times and how it leaves the keys, windows, slots, cautions,
    neighbours, and what was not checked.

    The exit status is 0 for a review, whatever it says, 2 for a wrong call and 3 for a fault of proclint itself.
    """
    try:
        targets = read_targets(written, _KINDS)
        review = review_paths(paths, against=against, on=on)
        folio = folio_of(review)
        shown = put_all(targets, review.report.texts, lambda kind: _rendered(folio, kind))
    except UsageProblem as problem:
        refuse(problem)
    click.echo(shown if shown is not None else _rendered(folio, "text"), nl=False)
    sys.exit(3 if review.report.own_faults else 0)


def _rendered(folio: Folio, kind: str) -> str:
    # Only what is asked for is loaded.
    if kind == "html":
        from proclint.render.review.as_html import html_review

        return html_review(folio)
    if kind == "markdown":
        from proclint.render.review.as_markdown import markdown_review

        return markdown_review(folio)
    from proclint.render.review.as_text import text_review

    return text_review(folio)
