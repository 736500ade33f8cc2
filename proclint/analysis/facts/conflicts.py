"""All smallest sets that cannot all be true, and all smallest sets that mend them.

Sets are whole numbers, an item a bit. The smallest conflicts are the minimal unsatisfiable subsets (M. H. Liffiton,
K. A. Sakallah, J. Autom. Reasoning 40 (2008)); they are found by a hitting-set tree (R. Reiter, Artificial Intelligence 32
(1987)), which is also what the smallest mends are: minimal hitting sets. Where only sets of two or one clash, no tree is
needed; and closed intervals on one line that meet two by two all meet (E. Helly, 1923), so most conflicts are pairs.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

Check: TypeAlias = Callable[[int], bool]


class LimitMet(Exception):
    """Raised where a question was given up; the limit's name is its text."""


class Limits(NamedTuple):
    """How much is tried.

    `sets`: conflicts of three and more among statements made together; `nodes`: of the search for them, and for mends;
    `splits`: of domains for one question of consistency; `meetings`: ways in which the boxes of one model meet.
    """

    sets: int = 50
    nodes: int = 4_000
    splits: int = 2_000
    meetings: int = 2_000


class Open(NamedTuple):
    """What was not decided: the limit met, and how much it was."""

    limit: str
    most: int


class Found(NamedTuple):
    """Smallest sets in order, and what kept others from being found; all are there where `open` is nothing."""

    sets: tuple[int, ...]
    open: Open | None = None


def members(mask: int) -> Iterator[int]:
    """Give the items of a set, as bits' numbers."""
    while mask:
        yield (mask & -mask).bit_length() - 1
        mask &= mask - 1


def smallest_conflicts(items: int, is_consistent: Check, limits: Limits) -> Found:
    """Give the smallest subsets of `items` that are not consistent.

    `is_consistent` tells it of any subset, and of a subset of a consistent set it says yes; it may raise LimitMet.
    Items that clash alone or in pairs are found one by one; any larger conflict lies among items that agree in pairs,
    so the rest is looked for inside each largest set of such items.
    """
    search = _Search(is_consistent, limits)
    try:
        if not is_consistent(items):
            search.run(items)
    except LimitMet as met:
        name = str(met)
        return Found(_in_order(search.found), Open(name, getattr(limits, name)))
    return Found(_in_order(search.found))


def _in_order(sets: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(sets, key=lambda each: (each.bit_count(), tuple(members(each)))))


@dataclass(slots=True)
class _Counter:
    """Counts up to a limit."""

    name: str
    most: int
    count: int = 0

    def step(self) -> None:
        self.count += 1
        if self.count > self.most:
            raise LimitMet(self.name)


class _Search:
    """One search; `found` grows, and what is in it is right whenever the search ends."""

    def __init__(self, is_consistent: Check, limits: Limits) -> None:
        self.is_consistent = is_consistent
        self.found: list[int] = []
        self.larger = _Counter("sets", limits.sets)
        self.nodes = _Counter("nodes", limits.nodes)

    def run(self, items: int) -> None:
        single = [1 << item for item in members(items)]
        alone = [item for item in single if not self.is_consistent(item)]
        self.found += alone
        good = [item for item in single if item not in alone]
        friends = {item: sum(other for other in good if other != item and self.is_consistent(item | other)) for item in good}
        pairs = [(item, other) for item in good for other in good if item < other and not friends[item] & other]
        self.found += [item | other for item, other in pairs]
        for together in self.largest_friendly(friends):
            self.tree(together)

    def largest_friendly(self, friends: dict[int, int]) -> Iterator[int]:
        """Give the largest sets of items that agree in pairs (C. Bron, J. Kerbosch, CACM 16 (1973), with a pivot)."""
        stack = [(0, sum(friends), 0)]
        while stack:
            taken, maybe, done = stack.pop()
            self.nodes.step()
            if not maybe | done:
                yield taken
                continue
            pivot = max((1 << item for item in members(maybe | done)), key=lambda item: (friends[item] & maybe).bit_count())
            for number in members(maybe & ~friends[pivot]):
                item = 1 << number
                stack.append((taken | item, maybe & friends[item], done & friends[item]))
                maybe, done = maybe & ~item, done | item

    def tree(self, items: int) -> None:
        """Find what clashes among items that agree in pairs: nodes are sets left out, labels conflicts without them."""
        if self.is_consistent(items):
            return
        stack, seen, mended = [0], {0}, list[int]()
        while stack:
            left_out = stack.pop()
            self.nodes.step()
            label = next((each for each in self.found if not each & (left_out | ~items)), 0)
            if not label and not any(mend & ~left_out == 0 for mend in mended):
                label = self.new_conflict(items & ~left_out)
                if not label:
                    mended.append(left_out)
            for item in members(label):
                wider = left_out | 1 << item
                if wider not in seen:
                    seen.add(wider)
                    stack.append(wider)

    def new_conflict(self, items: int) -> int:
        """Give a smallest conflict among items; nothing where they are consistent."""
        if self.is_consistent(items):
            return 0
        self.larger.step()
        for item in members(items):
            smaller = items & ~(1 << item)
            if not self.is_consistent(smaller):
                items = smaller
        self.found.append(items)
        return items


def smallest_mends(conflicts: Sequence[int], limits: Limits) -> Found:
    """Give the smallest sets of items that have one of each conflict: to give up such a set mends all of them.

    A conflict at a time (C. Berge, Hypergraphs, 1989): a mend that misses it takes in each of its items, and of those
    sets the ones stay that need every item they have.
    """
    mends = [0]
    for number, conflict in enumerate(conflicts):
        hit = [mend for mend in mends if mend & conflict]
        wider = [mend | 1 << item for mend in mends if not mend & conflict for item in members(conflict)]
        mends = hit + [mend for mend in wider if _needs_all(mend, conflicts[: number + 1])]
        mends = list(dict.fromkeys(mends))
        if len(mends) > limits.nodes:
            return Found((), Open("nodes", limits.nodes))
    return Found(_in_order(mends))


def _needs_all(mend: int, conflicts: Sequence[int]) -> bool:
    """Whether each item of a mend is the only one of it in some conflict."""
    needed = 0
    for conflict in conflicts:
        both = mend & conflict
        if not both & (both - 1):
            needed |= both
    return needed == mend
