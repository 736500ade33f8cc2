"""What is believed of vehicles as a table: CSV (RFC 4180), JSON Lines and Markdown.

Each row holds the vehicles (`make` and the other columns that narrow, empty = all), `attribute`, `value` (empty where nobody
knows), `unit`, `standing`, `sources` and `against` (ids with | between) and `reasons` in words. JSON Lines begin with what does
not hold together: objects whose `kind` is `contradiction`, `against-facts`, `not-decided` or `not-read`, each with `accepted`,
`by`, `until` and `because` (empty where nobody accepted it); those of `kind` `fact` follow. Markdown tells the same in tables.
"""

import csv
import io
from collections.abc import Iterator, Mapping

from proclint.analysis.facts import in_words
from proclint.analysis.facts.against import Disagreement
from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Undecided
from proclint.analysis.facts.tables import BadCell
from proclint.analysis.facts.weigh import Fact
from proclint.engine.reconcile import Contradiction, Reconciliation, Told, name_of
from proclint.model import Acceptance
from proclint.render.as_json import Json, as_json
from proclint.render.plain import harmless
from proclint.render.reconciled import taken
from proclint.telling.contradictions import message_of

_COLUMNS = ("attribute", "value", "unit", "standing", "sources", "against", "reasons")
# What a spreadsheet would take for a formula.
_FORMULA = ("=", "+", "-", "@", "\t")


def weighed_csv(found: Reconciliation) -> str:
    """Render every fact as rows of a table, one for each box of its vehicles."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow((*found.evidence.space.dimensions, *_COLUMNS))
    for box, fact in _rows(found):
        words = found.evidence.space.words(box)
        told = _told(fact, found.evidence)
        writer.writerow([_cell(text) for text in (*_narrowing(words, found.evidence), *told.values())])
    return stream.getvalue()


def _narrowing(words: Mapping[str, str], evidence: Evidence) -> Iterator[str]:
    return (words.get(name, "") for name in evidence.space.dimensions)


def _cell(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text


def _rows(found: Reconciliation) -> Iterator[tuple[Box, Fact]]:
    for fact in found.facts:
        for box in fact.boxes:
            yield box, fact


def _told(fact: Fact, evidence: Evidence) -> dict[str, str]:
    attribute = evidence.attributes[fact.attribute]
    return {
        "attribute": fact.attribute,
        "value": in_words.value(fact, attribute) if fact.domain is not None else "",
        "unit": attribute.unit,
        "standing": fact.standing.value,
        "sources": "|".join(dict.fromkeys(claim.source for claim in fact.behind)),
        "against": "|".join(dict.fromkeys(claim.source for claim in fact.against)),
        "reasons": in_words.reasons(fact),
    }


def reconciled_lines(found: Reconciliation) -> str:
    """Render contradictions, what procedures say against the facts, and every fact, one object a line."""
    return "".join(as_json(each) + "\n" for each in _objects(found))


def _objects(found: Reconciliation) -> Iterator[Json]:
    evidence = found.evidence
    for told in left_of(found):
        yield {**_object(told, evidence), **_taken(None)}
    for each in found.accepted:
        yield {**_object(each.told, evidence), **_taken(each.acceptance)}
    for left in found.not_checked:
        yield {"kind": "not-read", "file": left.file, "row": 0, "column": "", "message": left.why, **_taken(None)}
    for box, fact in _rows(found):
        yield {"kind": "fact", "vehicles": evidence.space.words(box), **_told(fact, evidence)}


def left_of(found: Reconciliation) -> Iterator[Told]:
    """Give what does not hold together and nobody accepted."""
    yield from (each for cluster in found.clusters for each in cluster.contradictions)
    yield from found.disagreements
    yield from found.undecided
    yield from found.bad


def _taken(acceptance: Acceptance | None) -> dict[str, Json]:
    if acceptance is None:
        return {"accepted": False, "by": "", "until": "", "because": ""}
    return {"accepted": True, "by": acceptance.by, "until": acceptance.until, "because": acceptance.because}


def _object(told: Told, evidence: Evidence) -> dict[str, Json]:
    if isinstance(told, Contradiction):
        return _contradiction(told, evidence)
    if isinstance(told, Disagreement):
        return _disagreement(told, evidence)
    if isinstance(told, Undecided):
        return {
            "kind": "not-decided",
            "attributes": told.attributes,
            "vehicles": in_words.all_vehicles(told.boxes, evidence.space),
            "limit": told.why.limit,
            "most": told.why.most,
        }
    row = evidence.row_of(told.at)
    return {"kind": "not-read", "file": told.at.file, "row": row, "column": told.column, "message": message_of(told)}


def _disagreement(each: Disagreement, evidence: Evidence) -> dict[str, Json]:
    return {
        "kind": "against-facts",
        "procedure": each.job.id,
        "file": each.job.at.file,
        "says": [f"{claim.statement.attribute} {claim.text}" for claim in each.own],
        "facts": [_told(fact, evidence) for fact in each.facts],
        "relations": each.relations,
        "vehicles": in_words.all_vehicles(each.boxes, evidence.space),
    }


def _contradiction(each: Contradiction, evidence: Evidence) -> dict[str, Json]:
    conflict = each.conflict
    return {
        "kind": "contradiction",
        "claims": [
            {"says": in_words.said(statement, claims), "cells": [name_of(claim) for claim in claims]}
            for statement, claims in zip(conflict.statements, conflict.claims, strict=True)
        ],
        "relations": each.relations,
        "vehicles": in_words.all_vehicles(conflict.boxes, evidence.space),
        "missing": [missing.dimension for missing in each.missing],
    }


def reconciled_markdown(found: Reconciliation) -> str:
    """Render what does not hold together and every fact as Markdown tables."""
    return "\n".join(_markdown(found)) + "\n"


def _markdown(found: Reconciliation) -> Iterator[str]:
    evidence = found.evidence
    yield "# What the sources say together\n"
    yield _head("what does not hold", "bites at", "who says it", "accepted")
    for told in left_of(found):
        yield _line(*_cells(told, evidence), "")
    for each in found.accepted:
        yield _line(*_cells(each.told, evidence), taken(each.acceptance))
    for left in found.not_checked:
        yield _line(f"not read: {left.file}", "", left.why, "")
    yield ""
    yield _head("vehicles", "attribute", "value", "standing", "why")
    for box, fact in _rows(found):
        told_of = _told(fact, evidence)
        value = f"{told_of['value']} {told_of['unit']}".strip()
        yield _line(in_words.vehicles(box, evidence.space), fact.attribute, value, told_of["standing"], told_of["reasons"])


def _cells(told: Told, evidence: Evidence) -> tuple[str, str, str]:
    """Say what does not hold, where it bites and who says it."""
    if isinstance(told, BadCell):
        return f"not read: {told.at.file}, row {evidence.row_of(told.at)}", "", message_of(told)
    where = in_words.all_vehicles(told.conflict.boxes if isinstance(told, Contradiction) else told.boxes, evidence.space)
    if isinstance(told, Undecided):
        return f"not decided: {', '.join(told.attributes)}", where, in_words.limit(told.why)
    if isinstance(told, Disagreement):
        own = ", ".join(f"{claim.statement.attribute} {claim.text}" for claim in told.own)
        believed = (f"{each.attribute} {in_words.standing_of(each, evidence.attributes[each.attribute])}" for each in told.facts)
        return f"against the facts: {own}", where, f"'{told.job.id}'; believed: {'; '.join(believed)}"
    pairs = list(zip(told.conflict.statements, told.conflict.claims, strict=True))
    who = "; ".join(in_words.spoken_for(claims, evidence.register) for _, claims in pairs)
    return f"cannot all be true: {', '.join(in_words.said(*pair) for pair in pairs)}", where, who


def _head(*columns: str) -> str:
    return f"| {' | '.join(columns)} |\n| {' | '.join('---' for _ in columns)} |"


def _line(*cells: str) -> str:
    return f"| {' | '.join(_escaped(cell) for cell in cells)} |"


def _escaped(text: str) -> str:
    """Write a stranger's text so that Markdown shows it as it is."""
    shown = "".join(f"\\{sign}" if sign in "\\`*_{}[]<>#|!" else sign for sign in harmless(text))
    return " ".join(shown.split())
