"""A report in JUnit XML, by the schema that the xUnit plug-in of Jenkins publishes (junit-10.xsd).

Each result is a test case in the class of its file: a failure where it keeps the gate shut, else skipped with the reason. A file
without any result is a test case that passed. A rule that broke down is an error.
"""

import re
from collections.abc import Iterator
from html import escape

from proclint.engine import OwnFault, Report, Reported
from proclint.render.plain import harmless
from proclint.render.text import plain_result
from proclint.results import State

# No character of XML 1.0 (section 2.2), besides the controls and halves of letters that are replaced already.
_NO_CHARACTER = re.compile("[\ufffe\uffff]")
# Where the file is shown as a log, nothing in it may be taken for a command.
_COMMAND = re.compile(r"^([ \t]*):|#(?=#[A-Za-z]*\[)", re.MULTILINE)


def junit(report: Report) -> str:
    """Render a report: one suite with a case for each result and for each file that has none."""
    results = [_result_case(report, each) for each in (*report.results, *report.accepted)]
    told = {each.result.at.file for each in (*report.results, *report.accepted)}
    passed = [_case(file, "no result", "") for file in report.files if file not in told]
    broken = [_fault_case(fault) for fault in report.own_faults]
    failures = sum(map(report.is_failing, report.results))
    cases = [*results, *passed, *broken]
    counts = {"tests": len(cases), "failures": failures, "errors": len(broken), "skipped": len(results) - failures}
    return "\n".join(('<?xml version="1.0" encoding="UTF-8"?>', *_suite(counts, cases), ""))


def _suite(counts: dict[str, int], cases: list[str]) -> Iterator[str]:
    numbers = {name: str(number) for name, number in counts.items()}
    yield f"<testsuites{_attributes({name: numbers[name] for name in ('tests', 'failures', 'errors')})}>"
    yield f"<testsuite{_attributes({'name': 'proclint', **numbers})}>"
    yield from cases
    yield "</testsuite>"
    yield "</testsuites>"


def _result_case(report: Report, each: Reported) -> str:
    message = f"{each.rule.id}: {each.result.message}"
    if report.is_failing(each):
        about = _attributes({"type": each.rule.id, "message": each.result.message})
        said = f"<failure{about}>{_text(plain_result(report, each))}</failure>"
    else:
        said = f"<skipped{_attributes({'type': each.weighs.value, 'message': _why_skipped(each)})}/>"
    return _case(each.result.at.file, message, said)


def _why_skipped(each: Reported) -> str:
    if each.acceptance is not None:
        taken = each.acceptance
        return f"Accepted by {taken.by} until {taken.until}: {taken.because}"
    if each.state not in (None, State.NEW) and not each.counts:
        return "It was there before."
    return f"It is below the failing level: {each.level.value}."


def _fault_case(fault: OwnFault) -> str:
    said = f"<error{_attributes({'type': fault.rule, 'message': fault.error})}/>"
    return _case(fault.file or "library", f"{fault.rule}: a rule broke down", said)


def _case(file: str, name: str, inner: str) -> str:
    opened = f"<testcase{_attributes({'classname': file, 'name': name})}"
    return f"{opened}>{inner}</testcase>" if inner else f"{opened}/>"


def _attributes(values: dict[str, str]) -> str:
    return "".join(f' {name}="{_text(harmless(value))}"' for name, value in values.items())


def _text(text: str) -> str:
    # A line of the text has been made harmless by whoever laid it out.
    known = escape(_NO_CHARACTER.sub("?", text))
    return _COMMAND.sub(lambda found: "".join(f"&#{ord(each)};" if each in ":#" else each for each in found[0]), known)
