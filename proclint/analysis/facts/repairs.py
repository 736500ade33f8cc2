"""How a conflict can be mended: which statement to give up first, and what would make it none.

Each statement of a smallest conflict mends it by itself; several conflicts at once are mended by a hitting set of them
(R. Reiter, Artificial Intelligence 32 (1987)). Nothing is chosen here: the order is from the least trusted on.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from proclint.analysis.facts.boxes import Box, uncovered
from proclint.analysis.facts.claims import Claim, Statement
from proclint.analysis.facts.conflicts import Limits, Open, members, smallest_mends
from proclint.analysis.facts.reconcile import Conflict
from proclint.analysis.facts.sources import Register, Standing, standing
from proclint.analysis.facts.space import Space


class Repairs(NamedTuple):
    """Sets of statements to give up, each of which mends all; `open` where a limit kept them from being found."""

    sets: tuple[tuple[Statement, ...], ...]
    open: Open | None = None


def repairs(conflicts: Sequence[Conflict], register: Register, limits: Limits | None = None) -> Repairs:
    """Give the smallest sets of statements that mend some conflicts together, what is trusted least first."""
    behind: dict[Statement, list[Claim]] = {}
    for conflict in conflicts:
        for statement, claims in zip(conflict.statements, conflict.claims, strict=True):
            behind.setdefault(statement, []).extend(claims)
    numbers = {statement: number for number, statement in enumerate(behind)}
    sets = [sum(1 << numbers[statement] for statement in conflict.statements) for conflict in conflicts]
    found = smallest_mends(sets, limits or Limits())
    trust = {statement: standing(claims, register) for statement, claims in behind.items()}
    statements = list(behind)
    mends = [tuple(statements[number] for number in members(mend)) for mend in found.sets]
    return Repairs(tuple(sorted(mends, key=lambda mend: _lost(mend, trust))), found.open)


def _lost(mend: tuple[Statement, ...], trust: dict[Statement, Standing]) -> list[Standing]:
    """Give what is given up, the most trusted first."""
    return sorted((trust[statement] for statement in mend), reverse=True)


class Asking(NamedTuple):
    """The statements of a conflict with the claims behind them, the least trusted first; whether trust tells them apart."""

    order: tuple[tuple[Statement, tuple[Claim, ...]], ...]
    is_told: bool


def to_ask(conflict: Conflict, register: Register) -> Asking:
    """Say in which order to ask whether the statements of a conflict are right."""
    # Of two that are trusted alike the later one is named first.
    pairs = list(reversed(list(zip(conflict.statements, conflict.claims, strict=True))))
    order = tuple(sorted(pairs, key=lambda pair: standing(pair[1], register)))
    weights = [standing(claims, register).weight for _, claims in order]
    return Asking(order, min(weights) != max(weights))


def clusters(conflicts: Iterable[Conflict]) -> tuple[tuple[Conflict, ...], ...]:
    """Group conflicts that a claim is common to: they are mended together."""
    groups: list[tuple[list[Conflict], set[int]]] = []
    for conflict in conflicts:
        claims = {id(claim) for behind in conflict.claims for claim in behind}
        same = [group for group in groups if group[1] & claims]
        groups = [group for group in groups if not group[1] & claims]
        joined = [each for group in same for each in group[0]]
        groups.append(([*joined, conflict], claims.union(*(group[1] for group in same))))
    return tuple(tuple(group) for group, _ in groups)


class Missing(NamedTuple):
    """A dimension that one statement of a conflict leaves open and another narrows: said, it may make the conflict none.

    `elsewhere` are claims that make the open statement of other values of the dimension: they speak for it.
    """

    dimension: str
    statement: Statement
    elsewhere: tuple[Claim, ...]


def missing_dimensions(conflict: Conflict, claims: Iterable[Claim], space: Space) -> tuple[Missing, ...]:
    """Give the dimensions that would dissolve a conflict if they were said, those first that other claims speak for."""
    all_claims = tuple(claims)
    found = [each for axis in range(len(space.dimensions)) for each in _missing(conflict, all_claims, space, axis)]
    return tuple(sorted(found, key=lambda each: -len(each.elsewhere)))


def _missing(conflict: Conflict, claims: Sequence[Claim], space: Space, axis: int) -> Iterator[Missing]:
    every = space.everything[axis]
    narrowed = [[claim.box[axis] for claim in behind if claim.box[axis] != every] for behind in conflict.claims]
    for index, statement in enumerate(conflict.statements):
        others = [mask for number, masks in enumerate(narrowed) if number != index for mask in masks]
        if narrowed[index] or not others:
            continue
        taken = 0
        for mask in others:
            taken |= mask
        same = (claim for claim in claims if claim.statement == statement and claim.box[axis] != every)
        yield Missing(space.dimensions[axis], statement, tuple(claim for claim in same if not claim.box[axis] & taken))


class Narrowing(NamedTuple):
    """A claim that reaches beyond where the conflict bites, and what is left of it when it is narrowed to there."""

    claim: Claim
    left: tuple[Box, ...]


def narrowings(conflict: Conflict) -> tuple[Narrowing, ...]:
    """Give the claims of a conflict that could be narrowed instead of given up."""
    claims = (claim for behind in conflict.claims for claim in behind)
    found = (Narrowing(claim, uncovered(claim.box, conflict.boxes)) for claim in claims)
    return tuple(each for each in found if each.left)
