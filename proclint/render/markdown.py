"""A report in Markdown (CommonMark), as a summary or a comment: the verdict, the numbers, and each result folded under its rule.

Whatever comes from files stands in fenced code, where nothing is a link, a picture, a mention or HTML. It is kept within the
length that a comment on a pull request may have; what does not fit is counted.
"""

import re
from collections.abc import Iterator
from itertools import groupby

from proclint.engine import Report, Reported
from proclint.render.text import CLOSING, plain_result, states
from proclint.render.verdict import verdict
from proclint.results import Kind, Level

# GitHub takes no body of more than 65,536 characters (common practice, no source); a byte is never more than a character.
MOST_BYTES = 65_535
_FENCE = re.compile("`{3,}")


def markdown(report: Report) -> str:
    """Render a report within 65,535 bytes of UTF-8."""
    head = "\n\n".join((f"### proclint: {verdict(report)}", *_numbers(report)))
    tail = f"\n\n{CLOSING}\n"
    blocks = list(_blocks(report))
    left = MOST_BYTES - len((head + tail + _more(len(report.results))).encode())
    kept = 0
    for block, _ in blocks:
        left -= len(block.encode())
        if left < 0:
            break
        kept += 1
    unshown = sum(count for _, count in blocks[kept:])
    return head + "".join(block for block, _ in blocks[:kept]) + (_more(unshown) if unshown else "") + tail


def _numbers(report: Report) -> Iterator[str]:
    counted = [(report.count(level), level.value) for level in Level]
    counts = ", ".join(f"{number} {word}{'' if number == 1 else 's'}" for number, word in counted)
    files = f"{len(report.files)} file{'' if len(report.files) == 1 else 's'}"
    undecided, accepted = report.undecided, len(report.accepted)
    yield f"Checked: {files} by {len(report.rules)} rules: {counts}, {undecided} undecided; accepted: {accepted}."
    if report.since is not None:
        yield f"Since the version compared with: {states(report)}."
    if report.not_checked:
        yield f"Parts that could not be checked: {len(report.not_checked)}."
    if report.own_faults:
        yield f"Rules that broke down, a fault of proclint: {len(report.own_faults)}."


def _blocks(report: Report) -> Iterator[tuple[str, int]]:
    """Give what is folded, one block a run of results of one rule, the most dangerous first, with how many it holds."""
    told = (each for each in report.results if each.counts)
    for (word, rule), group in groupby(told, key=lambda each: (_word(each), each.rule.id)):
        results = list(group)
        many = f" ({len(results)} times)" if len(results) > 1 else ""
        parts = (_fenced(plain_result(report, each)) for each in results)
        body = "\n\n".join(parts)
        yield f"\n\n<details>\n<summary>{word}: {rule}{many}</summary>\n\n{body}\n\n</details>", len(results)


def _word(each: Reported) -> str:
    return "open" if each.result.kind is Kind.OPEN else each.level.value


def _fenced(text: str) -> str:
    longest = max(map(len, _FENCE.findall(text)), default=2)
    fence = "`" * (longest + 1)
    return f"{fence}text\n{text}\n{fence}"


def _more(number: int) -> str:
    return f"\n\n{number} more did not fit in here; the other reports hold all."
