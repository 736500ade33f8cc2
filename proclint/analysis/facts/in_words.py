"""Claims, facts and boxes as a person says them."""

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.claims import Claim, Statement
from proclint.analysis.facts.conflicts import Open
from proclint.analysis.facts.sources import Register, voices
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.weigh import Fact, Grade, Reason
from proclint.catalogue import Attribute
from proclint.catalogue.domains import written
from proclint.source import Table

_FIRST = ("make", "model", "years")


def vehicles(box: Box, space: Space) -> str:
    """Say which vehicles are in a box: `Corvane Halyard 2013-2017, region-1, keyed`."""
    words = space.words(box)
    first = " ".join(words[name] for name in _FIRST if name in words)
    rest = [f"variant {text}" if name == "variant" else text for name, text in words.items() if name not in _FIRST]
    return ", ".join((*([first] if first else []), *rest)) or "all vehicles"


def all_vehicles(boxes: Iterable[Box], space: Space) -> str:
    """Say which vehicles are in some boxes."""
    return "; ".join(vehicles(box, space) for box in boxes)


def cell(claim: Claim) -> str:
    """Name a claim by where it stands: the file, the row as a spreadsheet counts it, and the column."""
    return f"{claim.at.file}, row {row(claim)}, column {column(claim)}"


def row(claim: Claim) -> int:
    """Give the row of a claim in its file, the header being row 1; 0 for what stands in no table."""
    table = claim.application.origin
    return table.text.line_column(claim.at.start)[0] if isinstance(table, Table) else 0


def column(claim: Claim) -> str:
    """Give the name of the column in which a claim stands; of what stands in no table, that of the attribute."""
    table = claim.application.origin
    return table.header[claim.column].text if isinstance(table, Table) else claim.statement.attribute


def value(fact: Fact, attribute: Attribute) -> str:
    """Say what is believed, as it is written in a cell that says just this, else put together."""
    if fact.domain is None:
        return "unknown"
    same = (claim.text for claim in fact.behind if claim.statement.domain == fact.domain)
    return next(same, None) or written(fact.domain, attribute)


def said(statement: Statement, claims: Iterable[Claim]) -> str:
    """Say a statement as one of its claims writes it: `key-cap 4`."""
    return f"{statement.attribute} {next(iter(claims)).text}"


def reasons(fact: Fact) -> str:
    """Say why a fact stands as it does, in whole sentences."""
    return " ".join(_reasons(fact))


def _reasons(fact: Fact) -> Iterator[str]:
    seen = {reason.sources[0]: reason.text for reason in fact.reasons if reason.kind == "seen"}
    for reason in fact.reasons:
        if reason.kind != "seen":
            yield _reason(reason, seen if reason.kind == "say" else {})


_REASONS = {
    "say": "{named} {verb} {text}{apart}.",
    "repeats": "{named} repeat one another and count once.",
    "follows": "It follows from what {named} {verb}.",
    "against": "Against it {named} {verb} {text}, trusted less.",
    "undecided": "What {named} {verb} cannot all be true, and nothing tells which is right.",
    "older": "{named} is older than these vehicles and does not count for {text}.",
    "not-known": "{named} {verb} that nobody knows.",
}


def _reason(reason: Reason, seen: Mapping[str, str]) -> str:
    is_one = len(reason.sources) == 1
    words = {"named": quoted(reason.sources, seen), "verb": "says" if is_one else "say", "text": reason.text}
    return _REASONS[reason.kind].format(apart="" if is_one else ", each by itself", **words)


def quoted(names: Iterable[str], seen: Mapping[str, str] = MappingProxyType({})) -> str:
    """Join names in single quotes, each with how many members saw what it says at a vehicle."""
    *first, last = (f"'{name}'{f' (members who saw it: {seen[name]})' if name in seen else ''}" for name in names)
    return f"{', '.join(first)} and {last}" if first else last


def spoken_for(claims: Iterable[Claim], register: Register) -> str:
    """Say who makes some claims, a copy with its original, each with its day."""
    told = voices((claim.source for claim in claims), register)
    return "; ".join(" with its copy ".join(_dated(each, register) for each in voice) for voice in told)


def _dated(source: str, register: Register) -> str:
    known = register.get(source)
    return f"'{source}' ({known.date})" if known is not None and known.date not in source else f"'{source}'"


_LIMITS = {
    "sets": "contradictions between three claims and more",
    "nodes": "steps of the search",
    "splits": "cases in one question",
    "meetings": "ways in which rows speak of one vehicle",
}


def limit(met: Open) -> str:
    """Say which limit was met, by its name, and what it counts."""
    return f"The limit '{met.limit}' was met: {met.most} {_LIMITS[met.limit]}."


def standing_of(fact: Fact, attribute: Attribute) -> str:
    """Say what is believed and how it stands: `4, confirmed`."""
    if fact.domain is None:
        return Grade.UNKNOWN.value
    return f"{value(fact, attribute)} {attribute.unit}".strip() + f", {fact.standing.value}"
