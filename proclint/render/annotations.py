"""A report as annotations: one workflow command a line, as GitHub documents them.

`::error file=NAME,line=1,col=2::MESSAGE`, with `warning` and `notice` beside `error`. In a message `%`, CR and LF are written as
`%25`, `%0D` and `%0A`; in a property `:` and `,` as `%3A` and `%2C` too. Columns may be given only where one line is meant.
"""

from proclint.engine import Report, Reported, place_of
from proclint.render.plain import harmless
from proclint.render.sarif_places import sentences
from proclint.results import Level

_WORDS = {Level.ERROR: "error", Level.WARNING: "warning", Level.NOTE: "notice"}


def annotations(report: Report) -> str:
    """Render the results that count, the most dangerous first; what is accepted or was there before has no annotation."""
    return "".join(f"{_annotation(report, each)}\n" for each in report.results if each.counts)


def _annotation(report: Report, each: Reported) -> str:
    result = each.result
    properties = {"file": result.at.file.removeprefix("./"), **_span(report, each), "title": each.rule.id}
    written = ",".join(f"{name}={_property(str(value))}" for name, value in properties.items())
    return f"::{_WORDS[each.weighs]} {written}::{_data(sentences(result.message, result.why, result.change))}"


def _span(report: Report, each: Reported) -> dict[str, int]:
    at = each.result.at
    line, column = place_of(report, at)
    text = report.texts.get(at.file)
    end_line, end_column = text.line_column(at.end) if text is not None else (line, column)
    if end_line != line:
        return {"line": line, "endLine": end_line}
    return {"line": line, "endLine": line, "col": column, "endColumn": end_column}


def _data(text: str) -> str:
    return harmless(text).replace("%", "%25")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
