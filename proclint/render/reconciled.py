"""What sources say together, for the terminal and as Markdown."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator

from proclint.analysis.facts import in_words
from proclint.analysis.facts.against import Disagreement
from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.claims import Claim, Statement
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Undecided
from proclint.analysis.facts.tables import BadCell
from proclint.analysis.facts.weigh import Fact, Grade
from proclint.catalogue.domains import written
from proclint.engine.reconcile import Accepted, Belief, Cluster, Contradiction, Reconciliation, Told, name_of
from proclint.model import Acceptance
from proclint.render.plain import harmless
from proclint.telling.contradictions import message_of

_WIDTH = 100
CLOSING = "What is believed is what the sources say, not what stands at the kerb."


def reconciled_text(found: Reconciliation, *, of_vehicle: str = "") -> str:
    """Render contradictions, what procedures say against the facts, and how the facts stand; of one vehicle, every fact."""
    evidence = found.evidence
    parts = [*_contradictions(found), *("\n".join(_disagreement(each, evidence)) for each in found.disagreements)]
    parts += ["\n".join(_undecided(each, evidence)) for each in found.undecided]
    parts += ["\n".join(_accepted(each, evidence)) for each in found.accepted]
    if of_vehicle:
        parts.append("\n".join(_known(found, of_vehicle)))
    parts.append("\n".join(_closing(found)))
    return "\n\n".join(parts) + "\n"


def _contradictions(found: Reconciliation) -> Iterator[str]:
    for cluster in found.clusters:
        for each in cluster.contradictions:
            yield "\n".join((*_contradiction(each, found.evidence), *_mended(each, found.evidence)))
        if len(cluster.contradictions) > 1:
            yield "\n".join(_together(cluster, found.evidence))


def _together(cluster: Cluster, evidence: Evidence) -> Iterator[str]:
    yield f"these {len(cluster.contradictions)} share claims"
    if cluster.repairs.open is not None:
        yield from labelled("mend", f"What mends all of them was not found. {in_words.limit(cluster.repairs.open)}")
    else:
        given_up = " and ".join(_said(each, evidence) for each in min(cluster.repairs.sets, key=len))
        yield from labelled("mend", f"None is left without {given_up}.")


def _contradiction(each: Contradiction, evidence: Evidence) -> Iterator[str]:
    conflict = each.conflict
    pairs = list(zip(conflict.statements, conflict.claims, strict=True))
    yield f"cannot all be true: {harmless(', '.join(in_words.said(*pair) for pair in pairs))}"
    yield from labelled("bites at", in_words.all_vehicles(conflict.boxes, evidence.space))
    for statement, claims in pairs:
        who = in_words.spoken_for(claims, evidence.register)
        where = ", ".join(dict.fromkeys(map(name_of, claims)))
        yield from labelled("says", f"{in_words.said(statement, claims)}: {who}; {where}")
    for name in each.relations:
        yield from labelled("because", evidence.relations.sayings[name])


def _mended(each: Contradiction, evidence: Evidence) -> Iterator[str]:
    order = "; ".join(in_words.said(*pair) for pair in each.asking.order)
    why = "the least trusted first" if each.asking.is_told else "all are trusted alike"
    yield from labelled("mend", f"Ask whether these are right, {why}: {order}.")
    for missing in each.missing[:1]:
        yield from labelled("or", f"Say for which {missing.dimension} '{_said(missing.statement, evidence)}' holds.")


def _said(statement: Statement, evidence: Evidence) -> str:
    return f"{statement.attribute} {written(statement.domain, evidence.relations.attributes[statement.attribute])}"


def _disagreement(each: Disagreement, evidence: Evidence) -> Iterator[str]:
    own = ", ".join(f"{claim.statement.attribute} {claim.text}" for claim in each.own)
    yield f"against the facts: '{harmless(each.job.id)}' says {harmless(own)}"
    yield from labelled("bites at", in_words.all_vehicles(each.boxes, evidence.space))
    for fact in each.facts:
        yield from labelled("believed", _fact(fact, evidence))
    for name in each.relations:
        yield from labelled("because", evidence.relations.sayings[name])


def _fact(fact: Fact, evidence: Evidence) -> str:
    where = f" ({name_of(fact.cell)})" if fact.cell is not None else ""
    return f"{fact.attribute} {in_words.standing_of(fact, evidence.attributes[fact.attribute])}{where}. {in_words.reasons(fact)}"


def _undecided(each: Undecided, evidence: Evidence) -> Iterator[str]:
    yield f"not decided: whether all that is said of {harmless(', '.join(each.attributes))} can be true"
    yield from labelled("of", in_words.all_vehicles(each.boxes, evidence.space))
    yield from labelled("because", in_words.limit(each.why))


def _accepted(each: Accepted, evidence: Evidence) -> Iterator[str]:
    first, *rest = _told(each.told, evidence)
    yield f"accepted: {first}"
    yield from rest
    yield from labelled("taken", taken(each.acceptance))


def taken(acceptance: Acceptance) -> str:
    """Say who took something as it is, until when and why."""
    by, because = acceptance.by or "nobody who is named", acceptance.because or "nobody says why"
    return f"by {by} until {acceptance.until}: {because}"


def _told(told: Told, evidence: Evidence) -> Iterator[str]:
    if isinstance(told, Contradiction):
        return _contradiction(told, evidence)
    if isinstance(told, Disagreement):
        return _disagreement(told, evidence)
    if isinstance(told, Undecided):
        return _undecided(told, evidence)
    return iter((_bad(told, evidence),))


def _bad(bad: BadCell, evidence: Evidence) -> str:
    return f"not read: {harmless(f'{bad.at.file}, row {evidence.row_of(bad.at)}: {message_of(bad)}')}"


def _boxes(boxes: Iterable[Box], evidence: Evidence) -> str:
    return in_words.all_vehicles(boxes, evidence.space)


def _known(found: Reconciliation, vehicle: str) -> Iterator[str]:
    yield f"what is known of {harmless(vehicle)}:"
    if not found.facts:
        yield "  nothing: no table speaks of it."
    several = Counter(fact.attribute for fact in found.facts)
    for fact in found.facts:
        of = f" of {_boxes(fact.boxes, found.evidence)}" if several[fact.attribute] > 1 else ""
        yield harmless(f"  {fact.attribute}{of}: {in_words.standing_of(fact, found.evidence.attributes[fact.attribute])}")
        yield from labelled("", in_words.reasons(fact))
    for job in found.jobs:
        yield from labelled("sheet", f"{job.job.id} ({job.job.at.file})")


def _closing(found: Reconciliation) -> Iterator[str]:
    for left in found.not_checked:
        yield f"not read: {harmless(left.file)}: {left.why}."
    for bad in found.bad:
        yield _bad(bad, found.evidence)
    for fault in found.own_faults:
        yield f"fault of proclint: the rule {fault.rule} broke down ({harmless(fault.error)})."
    counts = Counter(fact.standing for fact in found.facts)
    stand = ", ".join(f"{counts[grade]} {grade.value}" for grade in Grade)
    clashes = sum(len(cluster.contradictions) for cluster in found.clusters)
    yield f"facts: {len(found.facts)}: {stand}."
    against = f"of procedures against the facts: {len(found.disagreements)}"
    yield f"contradictions: {clashes}; {against}; not decided: {len(found.undecided)}; accepted: {len(found.accepted)}."
    yield CLOSING


def belief_text(belief: Belief, evidence: Evidence) -> str:
    """Render what changes if a claim were taken as true."""
    return "\n".join(_belief(belief, evidence)) + "\n"


def _belief(belief: Belief, evidence: Evidence) -> Iterator[str]:
    yield f"if {harmless(_named(belief.claim))} were true:"
    for change in belief.facts:
        before, after = (
            in_words.standing_of(each, evidence.attributes[each.attribute]) for each in (change.before, change.after)
        )
        where = _boxes(change.after.boxes, evidence)
        yield from labelled("fact", f"{change.after.attribute} of {where}: {before} becomes {after}")
    for word, some in (("wrong then", belief.gained), ("right then", belief.lost)):
        for each in some:
            own = ", ".join(f"{claim.statement.attribute} {claim.text}" for claim in each.own)
            yield from labelled(word, f"{each.job.id}: {own}")
    if not (belief.facts or belief.gained or belief.lost):
        yield "  nothing changes: every fact stays as it is, and no procedure is right or wrong that was not."


def _named(claim: Claim) -> str:
    return f"{claim.statement.attribute} {claim.text} ({name_of(claim)})"


def labelled(label: str, text: str) -> Iterator[str]:
    """Give a text in lines behind its label."""
    lines = textwrap.wrap(harmless(text), _WIDTH - 13, break_on_hyphens=False, break_long_words=False)
    for index, line in enumerate(lines):
        yield f"  {label if index == 0 else '':<11}{line}"
