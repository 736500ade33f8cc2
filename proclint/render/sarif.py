"""A report in SARIF 2.1.0 (OASIS Standard, 27 March 2020, with Errata 01): one log with one run.

The same report gives the same bytes: members have a fixed order, and there is neither a date nor the name of
a folder above the library in it. Accepted results are among the others, each with its suppression. A rule's
help takes no arguments, so the braces of its examples stand single; those of messages are doubled (3.11.5).
"""

from proclint.engine import NotChecked, OwnFault, Report
from proclint.render.as_json import as_json
from proclint.render.page import markdown_page, prose
from proclint.render.sarif_places import Object, Places, message, places_of, sentences
from proclint.render.sarif_result import result_object
from proclint.render.uri import ELSEWHERE, HERE
from proclint.rule import Rule

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_NOTIFICATIONS = {
    "rule-broke-down": "A rule broke down, which is a fault of proclint and not of the procedure.",
    "not-checked": "A file, or a part of a check, could not be looked at.",
}
_BASES = {HERE: "The folder in which the check was run.", ELSEWHERE: "The folder that holds the other files."}


def sarif_report(report: Report, *, version: str, here: str = "") -> str:
    """Render a report; `here` is the folder from which relative file names start."""
    places = places_of(report, here)
    numbers = {rule.id: number for number, rule in enumerate(report.rules)}
    run = _run(report, version, places, numbers)
    return as_json({"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}, 2) + "\n"


def _run(report: Report, version: str, places: Places, numbers: dict[str, int]) -> Object:
    found = [(each, places) for each in (*report.results, *report.accepted)]
    if report.since is not None:
        # What is gone stands in the texts of the earlier version.
        found += [(each, places._replace(texts=report.since.texts)) for each in report.since.absent]
    return {
        "tool": {"driver": _driver(report, version)},
        "invocations": [_invocation(report, places, numbers)],
        "originalUriBaseIds": _bases(places),
        "artifacts": [_artifact(file, places) for file in places.numbers],
        "results": [result_object(each, numbers[each.rule.id], where) for each, where in found],
        # Lines end as the reader has them; the default leaves out a bare CR (3.14.26).
        "newlineSequences": ["\r\n", "\n", "\r"],
        "columnKind": "unicodeCodePoints",
    }


def _driver(report: Report, version: str) -> Object:
    return {
        "name": "proclint",
        "version": version,
        "rules": [_descriptor(rule) for rule in report.rules],
        "notifications": [_notice(name, text) for name, text in _NOTIFICATIONS.items()],
    }


def _notice(name: str, text: str) -> Object:
    return {"id": name, "shortDescription": {"text": text}}


def _descriptor(rule: Rule) -> Object:
    title = sentences(rule.title)
    said = prose(rule)
    return {
        "id": rule.id,
        "shortDescription": {"text": title},
        "fullDescription": {"text": said},
        "help": {"text": said if said == title else f"{title}\n\n{said}", "markdown": markdown_page(rule)},
        "defaultConfiguration": {"level": rule.level.value},
        "properties": {"harm": rule.harm.value, "group": rule.group},
    }


def _bases(places: Places) -> Object:
    used = {reference.base for reference in places.references.values()}
    return {name: {"description": message(text)} for name, text in _BASES.items() if name in used}


def _artifact(file: str, places: Places) -> Object:
    kind: Object = {"mimeType": "text/csv"} if file.endswith(".csv") else {"sourceLanguage": "yaml"}
    return {"location": places.address(file), "roles": ["analysisTarget"], **kind}


def _invocation(report: Report, places: Places, numbers: dict[str, int]) -> Object:
    faults = [_fault(fault, places, numbers) for fault in report.own_faults]
    left_out = [_left_out(part, places) for part in report.not_checked]
    return {"executionSuccessful": not report.own_faults, "toolExecutionNotifications": [*faults, *left_out]}


def _fault(fault: OwnFault, places: Places, numbers: dict[str, int]) -> Object:
    number: Object = {"index": numbers[fault.rule]} if fault.rule in numbers else {}
    text = f"The rule '{fault.rule}' broke down: {fault.error}"
    return {
        **_notification("rule-broke-down", "error", text),
        "associatedRule": {"id": fault.rule, **number},
        **({"locations": [_file(fault.file, places)]} if fault.file else {}),
    }


def _left_out(part: NotChecked, places: Places) -> Object:
    notice = _notification("not-checked", "note", f"Not checked: {part.why}")
    return {**notice, "locations": [_file(part.file, places)]}


def _notification(name: str, level: str, text: str) -> Object:
    descriptor: Object = {"id": name, "index": list(_NOTIFICATIONS).index(name)}
    return {"descriptor": descriptor, "level": level, "message": message(sentences(text))}


def _file(file: str, places: Places) -> Object:
    return {"physicalLocation": {"artifactLocation": places.artifact(file)}}
