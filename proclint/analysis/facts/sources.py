"""What is known of sources: how near to the vehicle, how old, how far they reach, and which repeat one another."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple, TypeAlias

from proclint.analysis.facts.boxes import Box, uncovered
from proclint.analysis.facts.claims import Claim
from proclint.analysis.facts.space import Space


class Source(NamedTuple):
    """A source of the register.

    `rank` is 1 for the kind that is trusted most; `date` is ISO 8601; `observed`: it tells what was seen at a vehicle;
    `copied_from` and `observers` are ids; `covers` the boxes of the vehicles it speaks of, none where it does not say.
    """

    id: str
    rank: int
    date: str
    observed: bool = False
    copied_from: tuple[str, ...] = ()
    observers: tuple[str, ...] = ()
    covers: tuple[Box, ...] = ()


Register: TypeAlias = Mapping[str, Source]


def voices(ids: Iterable[str], register: Register) -> tuple[tuple[str, ...], ...]:
    """Group sources that are one voice, in order: one was copied from the other, both from a third, or one person saw both."""
    order = {each: number for number, each in enumerate(dict.fromkeys(ids))}
    if len(order) < 2:
        return tuple((each,) for each in order)
    groups: list[tuple[list[str], set[str]]] = []
    for each in order:
        marks = _marks(each, register)
        same = [group for group in groups if group[1] & marks]
        members = [member for group in same for member in group[0]]
        groups = [group for group in groups if group not in same]
        groups.append(([*members, each], marks.union(*(group[1] for group in same))))
    told = (tuple(sorted(members, key=order.__getitem__)) for members, _ in groups)
    return tuple(sorted(told, key=lambda group: order[group[0]]))


def _marks(source: str, register: Register) -> set[str]:
    """Give a source, all it was copied from, and who observed it."""
    marks, waiting = set[str](), [source]
    while waiting:
        each = waiting.pop()
        if each not in marks:
            marks.add(each)
            known = register.get(each)
            waiting += known.copied_from if known is not None else ()
            marks.update(f"observer {who}" for who in (known.observers if known is not None else ()))
    return marks


class Standing(NamedTuple):
    """How well a statement stands; the greater one is trusted more. What was observed beats what is only stated."""

    observed: bool
    nearness: int
    voices: int
    date: str

    @property
    def weight(self) -> tuple[bool, int, int]:
        """What makes one statement beat another: the day of a source alone does not."""
        return self.observed, self.nearness, self.voices


def standing(claims: Iterable[Claim], register: Register) -> Standing:
    """Weigh the claims behind a statement: the best of its sources counts, and how many voices there are."""
    ids = tuple(dict.fromkeys(claim.source for claim in claims))
    known = [register[each] for each in ids if each in register]
    best = max((-each.rank for each in known), default=-99)
    latest = max((each.date for each in known), default="")
    return Standing(any(each.observed for each in known), best, len(voices(ids, register)), latest)


def one_a_voice(claims: Iterable[Claim], register: Register) -> tuple[Claim, ...]:
    """Give a claim of each voice; of copies the one that the others were copied from, else the first."""
    told = tuple(claims)
    chosen = []
    for voice in voices((claim.source for claim in told), register):
        here = [claim for claim in told if claim.source in voice]
        chosen.append(min(here, key=lambda claim: len(_marks(claim.source, register) & set(voice))))
    return tuple(chosen)


def out_of_scope(claim: Claim, register: Register) -> tuple[Box, ...]:
    """Give the vehicles of a claim that its source does not speak of; none where the source does not say of which it does."""
    source = register.get(claim.source)
    return uncovered(claim.box, source.covers) if source is not None and source.covers else ()


def is_older(claim: Claim, register: Register, space: Space) -> bool:
    """Whether a claim's source is older than the first vehicle that the claim is made of."""
    source = register.get(claim.source)
    return source is not None and source.date[:7] < space.first_month(claim.box)


def once_a_row(claims: Iterable[Claim]) -> Iterator[Claim]:
    """Give the first claim of each row."""
    seen: set[tuple[str, int]] = set()
    for claim in claims:
        key = (claim.source, claim.application.row)
        if key not in seen:
            seen.add(key)
            yield claim
