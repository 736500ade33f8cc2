"""Claims held against each other: every smallest set of statements that cannot all be true of one vehicle.

Statements are told apart from claims: however many claim one, it is one in a conflict, with all of them behind it. Per
model, the attributes that laws connect are asked about together. A smallest conflict among all that is said of its vehicles
is one wherever all of it is said; only where these are more than the limit are they looked for vehicle by vehicle, in each
largest set of boxes with a vehicle in common.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import itemgetter
from typing import NamedTuple, final

from proclint.analysis.facts.boxes import Box, TooManyPieces, joined, meet, overlaps
from proclint.analysis.facts.claims import Application, Claim, Statement
from proclint.analysis.facts.conflicts import Found, LimitMet, Limits, Open, members, smallest_conflicts
from proclint.analysis.facts.consistency import Consistency
from proclint.analysis.facts.overlaps import is_one_model, largest, meetings
from proclint.analysis.facts.space import Space
from proclint.catalogue.relations import Relations


class Conflict(NamedTuple):
    """Statements that cannot all be true where it bites: in `boxes`. `claims` are, statement by statement, those behind it."""

    statements: tuple[Statement, ...]
    claims: tuple[tuple[Claim, ...], ...]
    boxes: tuple[Box, ...]


class Undecided(NamedTuple):
    """Attributes and the vehicles of a model for which a limit was met: conflicts of theirs may be missing."""

    attributes: tuple[str, ...]
    boxes: tuple[Box, ...]
    why: Open


class Reconciled(NamedTuple):
    """All conflicts, model by model as the claims come, and what was not decided."""

    conflicts: tuple[Conflict, ...]
    undecided: tuple[Undecided, ...]


def reconcile(claims: Iterable[Claim], relations: Relations, space: Space, limits: Limits | None = None) -> Reconciled:
    """Give every smallest set of statements that cannot all be true, and where."""
    return Reconciler(relations, space, limits or Limits()).reconcile(claims)


@dataclass(slots=True)
class _Said:
    """What an application says: its vehicles, its statements as a set, its claims."""

    box: Box
    items: int
    claims: list[Claim]


@final
class Reconciler:
    """Reconciles under some relations; what it has found out about statements it keeps."""

    def __init__(self, relations: Relations, space: Space, limits: Limits) -> None:
        self.consistency = Consistency(relations.laws, relations.domains, limits)
        self.limits = limits
        self.space = space
        self.statements: list[Statement] = []
        self.bits: dict[Statement, int] = {}
        self.parts: dict[frozenset[str], int] = {}
        self._holds: dict[int, bool] = {}
        self._found: dict[int, Found] = {}

    def reconcile(self, claims: Iterable[Claim]) -> Reconciled:
        """Give every smallest set of statements that cannot all be true, and where."""
        conflicts = _Conflicts(self.space)
        undecided: list[Undecided] = []
        for group in _by_model(self.by_application(claims), self.space):
            for each in _Model(self, group).results():
                if isinstance(each, Undecided):
                    undecided.append(each)
                else:
                    conflicts.add(each)
        return Reconciled(tuple(conflicts.all.values()), tuple(undecided))

    def relations_behind(self, conflict: Conflict) -> tuple[str, ...]:
        """Name the fewest relations that make a conflict one; nothing where the values of one attribute clash."""
        return self.consistency.relations_behind(conflict.statements)

    def by_application(self, claims: Iterable[Claim]) -> Iterable[_Said]:
        """Gather claims by what they stand in."""
        found: dict[Application, _Said] = {}
        # Most statements are the same object many times, which is seen sooner than that they are equal.
        bits: dict[int, int] = {}
        last, said, own = None, _Said((), 0, []), list[Claim]()
        for claim in claims:
            statement, application = claim[0], claim[1]
            if application is not last:
                last, said = application, found.setdefault(application, _Said(application.box, 0, []))
                own = said.claims
            bit = bits.get(id(statement))
            if bit is None:
                bit = bits[id(statement)] = self.bits.get(statement) or self.new_bit(statement)
            said.items |= bit
            own.append(claim)
        return found.values()

    def new_bit(self, statement: Statement) -> int:
        """Give a statement a bit, in its part of the attributes."""
        bit = self.bits[statement] = 1 << len(self.statements)
        self.statements.append(statement)
        part = self.consistency.parts.get(statement.attribute) or frozenset((statement.attribute,))
        self.parts[part] = self.parts.get(part, 0) | bit
        return bit

    def holds(self, items: int) -> bool:
        """Whether a set of statements can be true. Raises LimitMet."""
        answer = self._holds.get(items)
        if answer is None:
            answer = self._holds[items] = self.consistency.holds([self.statements[each] for each in members(items)])
        return answer

    def surely_holds(self, items: int) -> bool:
        """Whether a set of statements can be true, as far as that is seen within the limit."""
        try:
            return self.holds(items)
        except LimitMet:
            return False

    def conflicts_among(self, items: int) -> Found:
        """Give the smallest conflicts among statements."""
        if items not in self._found:
            self._found[items] = smallest_conflicts(items, self.holds, self.limits)
        return self._found[items]


@final
class _Conflicts:
    """Conflicts of all models; those that a claim of many models is common to are one."""

    def __init__(self, space: Space) -> None:
        self.all: dict[int, Conflict] = {}
        self._count = 0
        self._key = itemgetter(space.axis("make"), space.axis("model"))
        self._with_wide: dict[tuple[tuple[Statement, ...], int], int] = {}

    def add(self, conflict: Conflict) -> None:
        claims = (claim for behind in conflict.claims for claim in behind)
        wide = [(conflict.statements, id(claim)) for claim in claims if not is_one_model(self._key(claim.box))]
        for number in sorted({self._with_wide[key] for key in wide if key in self._with_wide}):
            conflict = _merged(self.all.pop(number), conflict)
        claims = (claim for behind in conflict.claims for claim in behind)
        self._with_wide.update({(conflict.statements, id(claim)): self._count for claim in claims if wide})
        self.all[self._count] = conflict
        self._count += 1


def _merged(one: Conflict, other: Conflict) -> Conflict:
    pairs = zip(one.claims, other.claims, strict=True)
    claims = tuple(tuple({id(claim): claim for claim in (*first, *second)}.values()) for first, second in pairs)
    return Conflict(one.statements, claims, joined((*one.boxes, *other.boxes)))


@final
class _Model:
    """What is said of the vehicles of one model."""

    def __init__(self, owner: Reconciler, said: Sequence[_Said]) -> None:
        self.owner = owner
        self.said = said

    def results(self) -> Iterator[Conflict | Undecided]:
        everything = 0
        for each in self.said:
            everything |= each.items
        for part in self.owner.parts.values():
            items = everything & part
            if items and not self.owner.surely_holds(items):
                yield from self.of_part(items)

    def of_part(self, items: int) -> Iterator[Conflict | Undecided]:
        """Look for conflicts among all that is said, and if these are too many among what is said of one vehicle."""
        found = self.owner.conflicts_among(items)
        sets, left = set(found.sets), dict[Open, int]()
        if found.open is not None:
            for each in self.said_together(items):
                found = self.owner.conflicts_among(each)
                sets.update(found.sets)
                if found.open is not None:
                    left[found.open] = left.get(found.open, 0) | each
            if self.met is None:
                left[Open("meetings", self.owner.limits.meetings)] = items
        yield from (self.undecided(each, why) for why, each in left.items())
        for conflict in sorted(sets, key=lambda each: (each.bit_count(), each)):
            boxes = self.bites(conflict)
            if boxes:
                yield self.conflict(conflict, boxes)

    def said_together(self, items: int) -> list[int]:
        """Give the largest sets among some statements that are made of one vehicle; none where boxes meet in too many ways."""
        return largest({self.union(boxes) & items for boxes in self.met or ()})

    @cached_property
    def boxes(self) -> dict[Box, int]:
        """The different boxes, each with what is said of it."""
        boxes: dict[Box, int] = {}
        for each in self.said:
            boxes[each.box] = boxes.get(each.box, 0) | each.items
        return boxes

    @cached_property
    def met(self) -> list[list[int]] | None:
        """The largest sets of boxes with a vehicle in common, each as what is said of its boxes; nothing over the limit."""
        said = list(self.boxes.values())
        try:
            found = meetings(list(self.boxes), most=self.owner.limits.meetings)
        except TooManyPieces:
            return None
        return [[said[number] for number in members(together)] for together in found]

    def union(self, sets: Iterable[int]) -> int:
        union = 0
        for each in sets:
            union |= each
        return union

    def undecided(self, items: int, why: Open) -> Undecided:
        names = dict.fromkeys(self.owner.statements[number].attribute for number in members(items))
        return Undecided(tuple(names), joined(box for box, said in self.boxes.items() if said & items), why)

    def conflict(self, items: int, boxes: tuple[Box, ...]) -> Conflict:
        statements = tuple(self.owner.statements[number] for number in members(items))
        near = [each.claims for each in self.said if each.items & items and any(overlaps(each.box, box) for box in boxes)]
        behind = (tuple(claim for claims in near for claim in claims if claim.statement == each) for each in statements)
        return Conflict(statements, tuple(behind), boxes)

    def bites(self, items: int) -> tuple[Box, ...]:
        """Give the vehicles of which all of some statements are made; none where there is no such vehicle."""
        said = [[box for box, each in self.boxes.items() if each >> number & 1] for number in members(items)]
        first, *others = sorted(said, key=len)
        boxes: Iterable[Box] = first
        for other in others:
            boxes = {both for box in boxes for near in other if (both := meet(box, near))}
        return joined(boxes)


def _by_model(all_said: Iterable[_Said], space: Space) -> Iterator[list[_Said]]:
    """Give what is said a model at a time, each with what of its box is that model; last what is said of many models.

    What is said of many models is in the group of each that it can meet.
    """
    make, model = space.axis("make"), space.axis("model")
    groups: dict[tuple[int, int], list[_Said]] = {}
    for said in all_said:
        groups.setdefault((said.box[make], said.box[model]), []).append(said)
    wide = [said for key, group in groups.items() if not is_one_model(key) for said in group]
    for key, group in groups.items():
        if is_one_model(key):
            own = list(space.everything)
            own[make], own[model] = key
            here = ((said, meet(said.box, tuple(own))) for said in wide)
            yield [*group, *(replace(said, box=box) for said, box in here if box is not None)]
    if wide:
        yield wide
