"""What is believed of vehicles once all claims are weighed, with its standing and the reasons for it.

What is said of one vehicle is cut into cells: in each the same claims are made. There the value is what all claims leave open
together; where they clash, what is trusted least is beaten, and the fact is contested. Nothing is silent and nothing invented:
the claims for and against stay with the fact, and what nobody says is no fact.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import reduce
from operator import itemgetter, or_
from typing import NamedTuple, TypeAlias, final

from proclint.analysis.facts.boxes import Box, joined, meet, minus, overlaps, uncovered
from proclint.analysis.facts.claims import Claim, Statement
from proclint.analysis.facts.consistency import Consistency
from proclint.analysis.facts.overlaps import is_one_model
from proclint.analysis.facts.reconcile import Conflict
from proclint.analysis.facts.sources import Register, is_older, standing, voices
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.tables import NotKnown
from proclint.catalogue.domains import Domain, union
from proclint.catalogue.domains import meet as common

# How many members must have seen it, or how many sources say it, so that one slip does not make a fact.
_ENOUGH = 2


class Grade(StrEnum):
    """How well a fact stands."""

    CONFIRMED = "confirmed"
    ONE_REPORT = "one report"
    CONTESTED = "contested"
    UNKNOWN = "unknown"


class Reason(NamedTuple):
    """One reason for a fact's standing: what it is, and the sources or the claims that it is about.

    `kind` is `say` (these sources say it, independently), `seen` (so many members saw it), `repeats` (a copy counts with its
    original), `follows` (no source says it, these lead to it), `against` (these say otherwise and are trusted less), `undecided`
    (nothing tells which is right), `older` (the source is older than the vehicles), `not-known` (the source says that it does
    not know).
    """

    kind: str
    sources: tuple[str, ...]
    text: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Fact:
    """What is believed of an attribute of some vehicles; no `domain` where it is unknown."""

    attribute: str
    boxes: tuple[Box, ...]
    domain: Domain | None
    standing: Grade
    behind: tuple[Claim, ...]
    against: tuple[Claim, ...]
    reasons: tuple[Reason, ...]

    @property
    def cell(self) -> Claim | None:
        """The claim whose cell is shown for it."""
        return next(iter((*self.behind, *self.against)), None)


_Cell: TypeAlias = tuple[Box, tuple[Claim, ...]]


class Weights(NamedTuple):
    """What is weighed with: the register, the relations, the space, and the conflicts that were found.

    `believed` is a claim that is taken as true, whatever else is said.
    """

    register: Register
    consistency: Consistency
    space: Space
    conflicts: tuple[Conflict, ...]
    believed: Claim | None = None


def weigh(claims: Iterable[Claim], not_known: Iterable[NotKnown], weights: Weights) -> tuple[Fact, ...]:
    """Give what is believed, model by model and attribute by attribute, as claims come."""
    scales = _Scales(weights)
    facts = [fact for group in _groups(claims, weights.space) for fact in scales.facts(group)]
    return (*facts, *_unsaid(not_known, facts))


def _groups(claims: Iterable[Claim], space: Space) -> Iterator[list[Claim]]:
    """Give the claims of one attribute a model at a time; those of many models come with each, and last by themselves."""
    make, model = space.axis("make"), space.axis("model")
    by_attribute: dict[str, dict[tuple[int, int], list[Claim]]] = {}
    for claim in claims:
        key = claim.box[make], claim.box[model]
        by_attribute.setdefault(claim.statement.attribute, {}).setdefault(key, []).append(claim)
    for groups in by_attribute.values():
        wide = [claim for key, group in groups.items() if not is_one_model(key) for claim in group]
        single = [group for key, group in groups.items() if is_one_model(key)]
        for group in single:
            yield [*group, *(claim for claim in wide if any(overlaps(claim.box, own.box) for own in group))]
        if wide:
            yield [*wide, *(claim for group in single for claim in group)]


@final
class _Scales:
    """Weighs the claims of one attribute and model at a time."""

    def __init__(self, weights: Weights) -> None:
        self.weights = weights
        self.register = weights.register
        self.conflicts: dict[str, list[Conflict]] = {}
        for conflict in weights.conflicts:
            for name in dict.fromkeys(statement.attribute for statement in conflict.statements):
                self.conflicts.setdefault(name, []).append(conflict)

    def facts(self, group: Sequence[Claim]) -> Iterator[Fact]:
        attribute = group[0].statement.attribute
        model = itemgetter(self.weights.space.axis("make"), self.weights.space.axis("model"))
        own = model(group[0].box)
        near = self.near(attribute, [claim.box for claim in group])
        found: dict[object, Fact] = {}
        for box, claims in _cells(group):
            # What is said of many models is weighed with each of them; what is left of it, by itself.
            if is_one_model(model(box)) != is_one_model(own) or (is_one_model(own) and model(box) != own):
                continue
            for piece, clashes in _parted(box, near):
                key = (tuple(map(id, claims)), tuple(map(id, clashes)))
                known = found.get(key)
                found[key] = replace(known, boxes=(*known.boxes, piece)) if known else self.fact(piece, claims, clashes)
        for fact in found.values():
            yield replace(fact, boxes=joined(fact.boxes))

    def near(self, attribute: str, boxes: Sequence[Box]) -> list[Conflict]:
        """Give the conflicts about an attribute that bite at the models of some boxes."""
        around = list(self.weights.space.everything)
        for axis in (self.weights.space.axis("make"), self.weights.space.axis("model")):
            around[axis] = reduce(or_, (box[axis] for box in boxes))
        whole = tuple(around)
        return [each for each in self.conflicts.get(attribute, ()) if any(overlaps(whole, other) for other in each.boxes)]

    def fact(self, box: Box, claims: tuple[Claim, ...], clashes: Sequence[Conflict]) -> Fact:
        attribute = claims[0].statement.attribute
        older = tuple(each for each in claims if self.is_too_old(each))
        usable = tuple(self.in_time(claims))
        reasons = tuple(Reason("older", (each.source,), each.text) for each in older)
        if not usable:
            return Fact(attribute, (box,), None, Grade.UNKNOWN, (), claims, reasons)
        clashes = [each for each in clashes if self.counts(each)]
        beaten = self.beaten(clashes)
        domain = self.believed(attribute, usable, beaten, clashes)
        behind = tuple(each for each in usable if each.statement not in beaten)
        against = tuple(each for each in claims if each not in behind)
        grade, more = self.grade(behind, tuple(each for each in usable if each in against), clashes)
        return Fact(attribute, (box,), domain, grade, behind, against, (*more, *reasons))

    def is_too_old(self, claim: Claim) -> bool:
        """Whether a claim's source is older than the vehicles, and the claim is not taken as true."""
        return not self.is_believed(claim) and is_older(claim, self.register, self.weights.space)

    def counts(self, clash: Conflict) -> bool:
        """Whether each statement of a conflict is made by a source that is not too old for its vehicles."""
        return all(self.in_time(claims) for claims in clash.claims)

    def in_time(self, claims: Iterable[Claim]) -> list[Claim]:
        return [each for each in claims if not self.is_too_old(each)]

    def is_believed(self, claim: Claim) -> bool:
        """Whether a claim stands in the cell that is taken as true; exceptions to a row cut its claims into several."""
        known = self.weights.believed
        return known is not None and _cell_of(known) == _cell_of(claim)

    def taken_as_true(self, clash: Conflict) -> Statement | None:
        """Give the statement of a conflict that is taken as true, if one is."""
        pairs = zip(clash.statements, clash.claims, strict=True)
        return next((statement for statement, claims in pairs if any(map(self.is_believed, claims))), None)

    def beaten(self, clashes: Iterable[Conflict]) -> frozenset[Statement]:
        """Give the statements that are trusted less than the others of their conflict; none where all are trusted alike."""
        lost: set[Statement] = set()
        for clash in clashes:
            taken = self.taken_as_true(clash)
            pairs = zip(clash.statements, clash.claims, strict=True)
            trust = {each: standing(self.in_time(claims), self.register).weight for each, claims in pairs if each != taken}
            least = [each for each, weight in trust.items() if weight == min(trust.values())]
            if len(least) < len(trust) or (taken is not None and len(trust) == 1):
                lost.update(least)
        return frozenset(lost)

    def believed(
        self, attribute: str, usable: Sequence[Claim], beaten: frozenset[Statement], clashes: Sequence[Conflict]
    ) -> Domain | None:
        domains = [each.statement.domain for each in usable if each.statement not in beaten]
        if not domains:
            others = [each for clash in clashes for each in clash.statements if each not in beaten]
            left = self.weights.consistency.left(attribute, others)
            return None if left.is_empty else left
        whole = domains[0]
        for domain in domains:
            whole = common(whole, domain)
        return union(domains) if whole.is_empty else whole

    def grade(
        self, behind: tuple[Claim, ...], against: tuple[Claim, ...], clashes: Sequence[Conflict]
    ) -> tuple[Grade, tuple[Reason, ...]]:
        told = tuple(self.reasons_for(behind))
        if not clashes:
            return (Grade.CONFIRMED if self.is_confirmed(behind) else Grade.ONE_REPORT), told
        grade = Grade.CONFIRMED if self.is_settled(behind, against) else Grade.CONTESTED
        return grade, (*told, *_why_contested(behind, against, clashes))

    def is_settled(self, behind: Sequence[Claim], against: Sequence[Claim]) -> bool:
        """Whether agreeing observations beat what is only stated."""
        seen = [each.source for each in behind if self.is_seen(each)]
        return bool(against) and self.witnesses(seen) >= _ENOUGH and not any(self.is_seen(each) for each in against)

    def is_seen(self, claim: Claim) -> bool:
        known = self.register.get(claim.source)
        return known is not None and known.observed

    def is_confirmed(self, behind: Sequence[Claim]) -> bool:
        """Whether independent sources agree, or enough members saw it."""
        sources = tuple(dict.fromkeys(each.source for each in behind))
        return len(voices(sources, self.register)) >= _ENOUGH or self.witnesses(sources) >= _ENOUGH

    def witnesses(self, sources: Iterable[str]) -> int:
        return len({who for each in sources if each in self.register for who in self.register[each].observers})

    def reasons_for(self, behind: Sequence[Claim]) -> Iterator[Reason]:
        by_text: dict[str, list[str]] = {}
        for each in behind:
            by_text.setdefault(each.text, []).append(each.source)
        for text, sources in by_text.items():
            yield from self.reasons_of(text, sources)

    def reasons_of(self, text: str, sources: Sequence[str]) -> Iterator[Reason]:
        """Say who says one value, which of them repeat one another, and how many saw it."""
        told = voices(sources, self.register)
        yield Reason("say", tuple(voice[0] for voice in told), text)
        for voice in told:
            if len(voice) > 1:
                yield Reason("repeats", voice)
            members = self.witnesses(voice)
            if members:
                yield Reason("seen", voice[:1], str(members))


def _parted(box: Box, clashes: Iterable[Conflict]) -> Iterator[tuple[Box, list[Conflict]]]:
    """Cut a cell where conflicts of other attributes bite in a part of it only, and give what bites in each piece."""
    near = [each for each in clashes if any(overlaps(box, other) for other in each.boxes)]
    pieces = [box]
    for other in (other for each in near for other in each.boxes):
        inside = (both for piece in pieces if (both := meet(piece, other)) is not None)
        pieces = [*inside, *(rest for piece in pieces for rest in minus(piece, other))]
    for piece in pieces:
        yield piece, [each for each in near if any(overlaps(piece, other) for other in each.boxes)]


def _why_contested(behind: Sequence[Claim], against: Sequence[Claim], clashes: Iterable[Conflict]) -> Iterator[Reason]:
    """Say from what else it follows, who says otherwise, or that nothing tells who is right."""
    known = dict.fromkeys(each.source for each in (*behind, *against))
    others = dict.fromkeys(claim.source for clash in clashes for claims in clash.claims for claim in claims)
    beyond = tuple(source for source in others if source not in known)
    if not behind:
        yield Reason("follows", beyond)
    if against:
        yield Reason("against", tuple(dict.fromkeys(each.source for each in against)), _texts(against))
    else:
        yield Reason("undecided", (*known, *beyond))


def _cell_of(claim: Claim) -> tuple[int, int, int]:
    return id(claim.application.origin), claim.application.row, claim.column


def _texts(claims: Iterable[Claim]) -> str:
    return ", ".join(dict.fromkeys(each.text for each in claims))


def _cells(claims: Sequence[Claim]) -> list[_Cell]:
    """Cut the boxes of claims into cells that lie apart, each with the claims that are made of it."""
    cells: list[_Cell] = []
    for claim in claims:
        rest, cut = [claim.box], list[_Cell]()
        for box, inside in cells:
            both = meet(box, claim.box)
            if both is None:
                cut.append((box, inside))
                continue
            cut.append((both, (*inside, claim)))
            cut += [(piece, inside) for piece in minus(box, claim.box)]
            rest = [piece for part in rest for piece in minus(part, both)]
        cells = [*cut, *((piece, (claim,)) for piece in rest)]
    return cells


def _unsaid(not_known: Iterable[NotKnown], facts: Sequence[Fact]) -> Iterator[Fact]:
    """Give what sources say that they do not know, of the vehicles of which nobody else says it either."""
    told: dict[str, list[Box]] = {}
    for fact in facts:
        told.setdefault(fact.attribute, []).extend(fact.boxes)
    left: dict[tuple[str, tuple[Box, ...]], list[str]] = {}
    for each in not_known:
        boxes = uncovered(each.application.box, told.get(each.attribute, ()))
        if boxes:
            left.setdefault((each.attribute, boxes), []).append(each.application.source)
    for (attribute, boxes), sources in left.items():
        reason = Reason("not-known", tuple(dict.fromkeys(sources)))
        yield Fact(attribute, boxes, None, Grade.UNKNOWN, (), (), (reason,))
