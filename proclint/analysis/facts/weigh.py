"""What is known of one attribute of some vehicles, of all that is claimed: the value, how it stands, and why.

Nothing is chosen in silence. Claims that can all be true are one value; where they cannot, what two independent people saw
beats what is only stated, and what the most trusted kind of source says beats all but three who saw otherwise. Whatever else
differs stays contested, with every value kept and the better supported first. The weights are common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce
from typing import NamedTuple

from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.sources import Register, Standing, standing, voices, witnesses
from proclint.catalogue.domains import Domain, meet, written
from proclint.catalogue.entries import Attribute

# So many who saw something refute what is only stated, and so many what the most trusted kind of source states.
ENOUGH, ENOUGH_AGAINST_THE_BEST = 2, 3


class Grade(StrEnum):
    """How a fact stands."""

    CONFIRMED = "confirmed"
    ONE_REPORT = "one report"
    CONTESTED = "contested"
    UNKNOWN = "unknown"


class Candidate(NamedTuple):
    """A value with all claims that can be true together with it; of these, `support` says so much and no less."""

    domain: Domain
    text: str
    claims: tuple[Claim, ...]
    support: tuple[Claim, ...]
    standing: Standing


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is known: the values that stand, the better supported first, and those that are refuted."""

    grade: Grade
    values: tuple[Candidate, ...] = ()
    refuted: tuple[Candidate, ...] = ()

    @property
    def text(self) -> str:
        """The value that stands best, as a cell says it; nothing where none is known."""
        return self.values[0].text if self.values else ""

    @property
    def leading(self) -> tuple[Candidate, ...]:
        """The values of which no other is better supported."""
        return tuple(each for each in self.values if each.standing[:3] == self.values[0].standing[:3])

    @property
    def claims(self) -> tuple[Claim, ...]:
        """All claims weighed."""
        return tuple(claim for each in (*self.values, *self.refuted) for claim in each.claims)


def weigh(claims: Iterable[Claim], attribute: Attribute, register: Register) -> Verdict:
    """Weigh what is claimed of an attribute of the same vehicles; nothing claimed is unknown."""
    told = tuple(claims)
    if not told:
        return Verdict(Grade.UNKNOWN)
    candidates = _candidates(told, attribute, register)
    refuted = [each for each in candidates if any(_refutes(other, each, register) for other in candidates)]
    left = tuple(each for each in candidates if each not in refuted)
    return Verdict(_grade(left, register), left, tuple(refuted))


def _candidates(claims: Sequence[Claim], attribute: Attribute, register: Register) -> list[Candidate]:
    """Put claims that can be true together under one value, the best supported first."""
    behind: dict[Domain, list[Claim]] = {}
    for claim in claims:
        behind.setdefault(claim.statement.domain, []).append(claim)
    groups: list[list[Domain]] = []
    for domain in sorted(behind, key=lambda each: standing(behind[each], register), reverse=True):
        fits = next((group for group in groups if not _common((*group, domain)).is_empty), None)
        if fits is None:
            groups.append([domain])
        else:
            fits.append(domain)
    found = [_candidate(group, [claim for domain in group for claim in behind[domain]], attribute, register) for group in groups]
    return sorted(found, key=lambda each: each.standing, reverse=True)


def _common(domains: Iterable[Domain]) -> Domain:
    return reduce(meet, domains)


def _candidate(group: list[Domain], claims: list[Claim], attribute: Attribute, register: Register) -> Candidate:
    common = _common(group)
    narrow = [domain for domain in group if _says(domain, common, group)]
    support = tuple(claim for claim in claims if claim.statement.domain in narrow)
    best = max(support, key=lambda claim: standing((claim,), register), default=None)
    text = best.text if best is not None else written(common, attribute)
    return Candidate(common, text, tuple(claims), support, standing(support or claims, register))


def _says(domain: Domain, common: Domain, group: list[Domain]) -> bool:
    """Whether a claim says no less than what all leave; of numbers that are widened to be near, each does."""
    return domain == common or _size(domain) == min(map(_size, group)) > 1


def _size(domain: Domain) -> int:
    return sum(most - least + 1 for least, most in domain.spans) + len(domain.words)


def _refutes(one: Candidate, other: Candidate, register: Register) -> bool:
    if one is other:
        return False
    seen = witnesses({claim.source for claim in one.support if _is_seen(claim, register)}, register) if one.standing.observed else 0
    if _is_best(other):
        return seen >= ENOUGH_AGAINST_THE_BEST
    if _is_best(one):
        return not other.standing.observed or other.standing.witnesses < ENOUGH_AGAINST_THE_BEST
    return seen >= ENOUGH and not other.standing.observed


def _is_seen(claim: Claim, register: Register) -> bool:
    source = register.get(claim.source)
    return source is not None and source.observed


def _is_best(candidate: Candidate) -> bool:
    return candidate.standing.nearness == -1


def _grade(left: tuple[Candidate, ...], register: Register) -> Grade:
    if len(left) > 1:
        return Grade.CONTESTED
    support = left[0].support
    is_sure = _is_best(left[0]) or witnesses((claim.source for claim in support), register) >= ENOUGH
    return Grade.CONFIRMED if support and is_sure else Grade.ONE_REPORT


def reasons(verdict: Verdict, register: Register) -> Iterator[str]:
    """Say in words why a fact stands as it does: who says what, who saw it, what is a copy, what is refuted."""
    if verdict.grade is Grade.UNKNOWN:
        yield "No source says it."
    for each in verdict.values:
        yield from _of_candidate(each, register, "says")
    for each in verdict.refuted:
        yield from _of_candidate(each, register, "is refuted with")
    if verdict.grade is Grade.CONTESTED:
        yield "Nothing decides between them: ask for what is seen at a vehicle."
    elif verdict.grade is Grade.ONE_REPORT:
        yield "Nobody else confirms it."


def _of_candidate(candidate: Candidate, register: Register, verb: str) -> Iterator[str]:
    ids = tuple(dict.fromkeys(claim.source for claim in candidate.claims))
    texts = {claim.source: claim.text for claim in candidate.claims}
    for each in ids:
        source = register.get(each)
        yield f"{source.in_words if source is not None else f'{each} (not registered)'} {verb} {texts[each]}."
        if source is not None and source.observers:
            yield f"It was seen by {' and '.join(source.observers)}."
    for voice in voices(ids, register):
        if len(voice) > 1:
            yield f"{' and '.join(voice)} count as one: one repeats the other, or one person saw both."
