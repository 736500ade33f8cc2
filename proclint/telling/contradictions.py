"""Contradictions between sources, tables and procedures, put into the words of results."""

from collections.abc import Callable, Iterable, Iterator

from proclint.analysis.facts import in_words
from proclint.analysis.facts.against import Disagreement
from proclint.analysis.facts.boxes import overlaps
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.reconcile import Conflict, Undecided
from proclint.analysis.facts.repairs import Asking, missing_dimensions, to_ask
from proclint.analysis.facts.tables import BadCell
from proclint.analysis.facts.weigh import Fact
from proclint.analysis.library import LibraryStudy
from proclint.results import Kind, Level, Note, Result
from proclint.source import Place
from proclint.telling import quoted


def against_table(disagreement: Disagreement, evidence: Evidence, message: str, *, change: str, about: str) -> Result:
    """Give the result for what a procedure states against the facts: at its own words about `about`, with each cell beside it.

    Where a fact is contested itself, it is no more than a warning.
    """
    own = next((each for each in disagreement.own if each.statement.attribute == about), disagreement.own[0])
    soft = Level.WARNING if disagreement.is_contested else None
    notes = [Note(fact.cell.at, f"Here stands {fact.cell.text}.") for fact in disagreement.facts if fact.cell is not None]
    why = [_fact_told(fact, evidence) for fact in disagreement.facts]
    why += [evidence.relations.sayings[name] for name in disagreement.relations]
    why.append(f"The procedure rests on {quoted(word.text for word in disagreement.job.sources)}.")
    return Result(
        message,
        at=own.at,
        change=change,
        why=" ".join(why),
        subject=own.statement.attribute,
        level=soft,
        notes=tuple(notes),
        about=disagreement,
    )


def impossible(disagreement: Disagreement, evidence: Evidence) -> Result:
    """Give the result for what a procedure states that cannot be true with other values of the vehicle, whichever they are."""
    own = " and ".join(f"{each.statement.attribute} {each.text}" for each in disagreement.own)
    message = f"This cannot be true of the vehicle: {own}."
    change = "Correct it, or correct the table with a source."
    return against_table(disagreement, evidence, message, change=change, about="")


def _fact_told(fact: Fact, evidence: Evidence) -> str:
    where = in_words.cell(fact.cell) if fact.cell is not None else ""
    believed = in_words.standing_of(fact, evidence.attributes[fact.attribute])
    return f"{where}: {believed}. {in_words.reasons(fact)}"


def held_against(
    library: LibraryStudy, *, attributes: Iterable[str] = (), relations: Iterable[str] = ()
) -> Iterable[tuple[Disagreement, str]]:
    """Give the disagreements about values of some attributes by themselves, or by some relations, each with what is believed."""
    names, laws = frozenset(attributes), frozenset(relations)
    for each in library.disagreements:
        if (not each.relations and each.attributes & names) or laws.intersection(each.relations):
            fact = each.facts[0]
            yield each, in_words.value(fact, library.evidence.attributes[fact.attribute])


def contradicted(conflicts: Iterable[Conflict], evidence: Evidence, message: Callable[[Conflict], str]) -> Iterator[Result]:
    """Give the results for smallest contradictions; those between the same rows have one cause, and are one."""
    first: dict[frozenset[tuple[str, int]], Place] = {}
    for conflict in conflicts:
        rows = frozenset((claim.source, claim.application.row) for claims in conflict.claims for claim in claims)
        result = _contradicted(conflict, evidence, message(conflict))
        because = first.setdefault(rows, result.at)
        yield result if because is result.at else result._replace(because=because)


def _contradicted(conflict: Conflict, evidence: Evidence, message: str) -> Result:
    """Tell a contradiction at its least trusted claim, with the others, where it bites and by what."""
    asking = to_ask(conflict, evidence.register)
    least = asking.order[0][1][0]
    said = [in_words.said(*pair) for pair in zip(conflict.statements, conflict.claims, strict=True)]
    spoken = (f"{in_words.said(*pair)}: {in_words.spoken_for(pair[1], evidence.register)}." for pair in asking.order)
    laws = (evidence.relations.sayings[name] for name in evidence.reconciler.relations_behind(conflict))
    where = f"It bites at {in_words.all_vehicles(conflict.boxes, evidence.space)}."
    others = (claim for _, claims in asking.order for claim in claims if claim is not least)
    return Result(
        f"{message}: {' and '.join(said)}.",
        at=least.at,
        change=_mend(conflict, evidence, asking),
        why=" ".join((*spoken, *laws, where)),
        subject=" ".join(dict.fromkeys(statement.attribute for statement in conflict.statements)),
        notes=tuple(Note(claim.at, f"'{claim.source}' says {claim.text} here.") for claim in others),
        about=conflict,
    )


def _mend(conflict: Conflict, evidence: Evidence, asking: Asking) -> str:
    missing = missing_dimensions(conflict, evidence.claims, evidence.space)
    more = f" Or say in a row for which {missing[0].dimension} it holds." if missing else ""
    why = "it is trusted least" if asking.is_told else "nothing tells which of them to trust"
    return f"Ask first whether {in_words.cell(asking.order[0][1][0])} is right: {why}.{more}"


def undecided(left: Undecided, claims: Iterable[Claim]) -> Result:
    """Give the result for what was not decided within a limit, at the first of some claims that it is about."""
    near = (claim for claim in claims if claim.statement.attribute in left.attributes)
    at = next(claim.at for claim in near if any(overlaps(claim.box, box) for box in left.boxes))
    names = ", ".join(left.attributes)
    return Result(
        "Not every contradiction about this was looked for.",
        at=at,
        change="Take rows out of the tables that say the same, or say them of more vehicles at once.",
        why=f"Whether all that is said of {names} can be true was not decided. {in_words.limit(left.why)}",
        subject=names,
        kind=Kind.OPEN,
        about=left,
    )


_BAD = {
    "unknown-column": "Nobody knows a column '{found}'.",
    "same-row-twice": "This row stands twice.",
    "not-signed": "This field report is lost: '{column}' says '{found}'.",
}


def message_of(bad: BadCell) -> str:
    """Say what is wrong with a cell of a facts table."""
    return _BAD.get(bad.why.kind, "'{column}' says '{found}', and that means nothing.").format(
        column=bad.column, found=bad.why.found
    )
