"""A report as JSON Lines: one object a result, for other programs.

Each line holds `rule`, `subject`, `level` (as settings have it, also where `kind` is `open`), `kind`, `harm`,
`file`, `line` and `column` (from 1, in code points), `message`, `why`, `change`, `way` (a list of `step` and
`outcome`), `fingerprint`, `accepted`, `reaches` (ids of the procedures that follow the block), `state` (where the check
compared with an earlier version: `new`, `unchanged`, `updated` or `absent`) and `counts` (whether it counts against the level).
All are there in every line; a text may be empty. What is absent stands last, with its place in the earlier version.
"""

from proclint.engine import Report, Reported, place_of
from proclint.render.as_json import Json, as_json


def json_lines(report: Report) -> str:
    """Render the results in order, then the accepted ones; nothing where there are none."""
    lines = [_line(report, each) for each in (*report.results, *report.accepted)]
    if report.since is not None:
        before = report._replace(texts=report.since.texts)
        lines += [_line(before, each) for each in report.since.absent]
    return "".join(f"{as_json(line)}\n" for line in lines)


def _line(report: Report, each: Reported) -> Json:
    result = each.result
    line, column = place_of(report, result.at)
    return {
        "rule": each.rule.id,
        "subject": result.subject,
        "level": each.level.value,
        "kind": result.kind.value,
        "harm": each.rule.harm.value,
        "file": result.at.file,
        "line": line,
        "column": column,
        "message": result.message,
        "why": result.why,
        "change": result.change,
        "way": [{"step": stop.step, "outcome": stop.outcome} for stop in result.trace],
        "fingerprint": each.fingerprint,
        "accepted": each.acceptance is not None,
        "reaches": each.reaches,
        "state": each.state.value if each.state is not None else "",
        "counts": each.acceptance is None and each.counts,
    }
