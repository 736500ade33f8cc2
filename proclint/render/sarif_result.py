"""One result as a SARIF 2.1.0 result object (3.27)."""

from collections.abc import Iterator

from proclint.engine import Reported
from proclint.engine.fingerprint import NAME
from proclint.model import Acceptance
from proclint.render.as_json import Json
from proclint.render.sarif_places import Object, Places, message, sentences
from proclint.results import Edit, Fix, Kind, Passed, Result


def result_object(each: Reported, rule_number: int, places: Places) -> Object:
    """Give a result with its locations, ways, fixes, fingerprint and suppressions."""
    result = each.result
    return {
        "ruleId": each.rule.id,
        "ruleIndex": rule_number,
        "kind": result.kind.value,
        # What could not be decided has no level (3.27.10).
        "level": "none" if result.kind is Kind.OPEN else each.level.value,
        "message": message(sentences(result.message, result.why, result.change)),
        "locations": [places.location(result.at)],
        **_filled("relatedLocations", _unique(_related(each, places))),
        **_filled("codeFlows", [_code_flow(result.trace, places)] if result.trace else []),
        **_filled("fixes", _unique(_fix(fix, places) for fix in result.fixes)),
        **({"partialFingerprints": {NAME: each.fingerprint}} if each.fingerprint else {}),
        # Never absent: one result with them asks for all (3.27.23).
        "suppressions": [_suppression(each.acceptance, places)] if each.acceptance is not None else [],
        **({"baselineState": each.state.value} if each.state is not None else {}),
        **_filled("properties", _properties(each)),
    }


def _filled(name: str, value: list[Object] | Object) -> Object:
    return {name: value} if value else {}


def _unique(found: Iterator[Object]) -> list[Object]:
    kept: list[Object] = []
    for each in found:
        if each not in kept:
            kept.append(each)
    return kept


def _related(each: Reported, places: Places) -> Iterator[Object]:
    result = each.result
    yield from (places.location(note.at, note.message) for note in result.notes)
    if result.because is not None and result.because != result.at:
        yield places.location(result.because, "The cause stands here.")
    yield from (places.location(other.at, f"From the same cause: {other.message}") for other in each.also)


def _code_flow(trace: tuple[Passed, ...], places: Places) -> Object:
    last = len(trace) - 1
    stops = [_stop(stop, places, is_last=number == last) for number, stop in enumerate(trace)]
    return {"threadFlows": [{"locations": stops}]}


def _stop(stop: Passed, places: Places, *, is_last: bool) -> Object:
    said = f"step '{stop.step}'" + (f" ({stop.outcome})" if stop.outcome else "")
    return {
        "location": places.location(stop.at, said),
        "nestingLevel": 0,
        "importance": "essential" if is_last else "important",
    }


def _fix(fix: Fix, places: Places) -> Object:
    changes: dict[str, list[Object]] = {}
    for edit in fix.edits:
        changes.setdefault(edit.at.file, []).append(_replacement(edit, places))
    return {
        "description": message(sentences(fix.description)),
        # One change a file, as they must be distinct (3.55.3).
        "artifactChanges": [{"artifactLocation": places.artifact(file), "replacements": made} for file, made in changes.items()],
    }


def _replacement(edit: Edit, places: Places) -> Object:
    inserted: Object = {"insertedContent": {"text": edit.text}} if edit.text else {}
    return {"deletedRegion": places.region(edit.at), **inserted}


def _suppression(acceptance: Acceptance, places: Places) -> Object:
    kept = {"by": acceptance.by, "on": acceptance.on, "until": acceptance.until}
    return {
        "kind": "external",
        "status": "accepted",
        "justification": acceptance.because,
        "location": places.location(acceptance.at),
        "properties": kept,
    }


def _properties(each: Reported) -> Object:
    texts = _texts(each.result)
    said: Object = {name: text for name, text in texts.items() if text}
    reaches: Json = list(each.reaches)
    return {**said, "reaches": reaches} if each.reaches else said


def _texts(result: Result) -> dict[str, str]:
    return {"change": result.change, "why": result.why, "subject": result.subject}
