"""What is believed of vehicles as a table: CSV (RFC 4180), JSON Lines and Markdown.

Each row holds the vehicles (`make` and the other columns that narrow, empty = all), `attribute`, `value` (empty where nobody
knows), `unit`, `standing`, `sources` and `against` (ids with | between) and `reasons` in words. JSON Lines begin with the
contradictions: objects with `kind` `contradiction` or `against-facts`, then `kind` `fact`.
"""

import csv
import io
from collections.abc import Iterator, Mapping

from proclint.analysis.facts import in_words
from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.weigh import Fact
from proclint.engine import Contradiction, Reconciliation, name_of
from proclint.render.as_json import Json, as_json

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
    for cluster in found.clusters:
        for each in cluster.contradictions:
            yield _contradiction(each, evidence)
    for disagreement in found.disagreements:
        yield {
            "kind": "against-facts",
            "procedure": disagreement.job.id,
            "file": disagreement.job.at.file,
            "says": [f"{claim.statement.attribute} {claim.text}" for claim in disagreement.own],
            "facts": [_told(fact, evidence) for fact in disagreement.facts],
            "relations": disagreement.relations,
            "vehicles": in_words.all_vehicles(disagreement.boxes, evidence.space),
        }
    for box, fact in _rows(found):
        yield {"kind": "fact", "vehicles": evidence.space.words(box), **_told(fact, evidence)}


def _contradiction(each: Contradiction, evidence: Evidence) -> Json:
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
    """Render contradictions and every fact as Markdown tables."""
    return "\n".join(_markdown(found)) + "\n"


def _markdown(found: Reconciliation) -> Iterator[str]:
    evidence = found.evidence
    yield "# What the sources say together\n"
    yield "| cannot all be true | bites at | who says it |\n| --- | --- | --- |"
    for cluster in found.clusters:
        for each in cluster.contradictions:
            pairs = list(zip(each.conflict.statements, each.conflict.claims, strict=True))
            said = ", ".join(in_words.said(*pair) for pair in pairs)
            who = "; ".join(in_words.spoken_for(claims, evidence.register) for _, claims in pairs)
            yield _line(said, in_words.all_vehicles(each.conflict.boxes, evidence.space), who)
    yield "\n| vehicles | attribute | value | standing | why |\n| --- | --- | --- | --- | --- |"
    for box, fact in _rows(found):
        told = _told(fact, evidence)
        value = f"{told['value']} {told['unit']}".strip()
        yield _line(in_words.vehicles(box, evidence.space), fact.attribute, value, told["standing"], told["reasons"])


def _line(*cells: str) -> str:
    return f"| {' | '.join(_escaped(cell) for cell in cells)} |"


def _escaped(text: str) -> str:
    """Write a stranger's text so that Markdown shows it as it is."""
    shown = "".join(f"\\{sign}" if sign in "\\`*_{}[]<>#|!" else sign for sign in text)
    return " ".join(shown.split())
