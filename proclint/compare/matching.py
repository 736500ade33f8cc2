"""Which part of the old version is which part of the new one, and which parts were moved.

Parts are matched by name, and what is left over by likeness: the share of what two parts say that both say (twice the common
features over all of them: Dice 1945, Soerensen 1948, from memory), the likest pair first, as long as half is common. What was
moved is what a longest increasing subsequence of the new order leaves out (Schensted 1961, from memory): as few as can be.
Everything here gives the same for two versions and for their exchange.
"""

from bisect import bisect_left
from collections import Counter, deque
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

ENOUGH = Fraction(1, 2)
# With more pairs to look at than these only parts that say exactly the same are matched, so that it takes seconds and not hours.
MOST_PAIRS = 250_000


class Match(NamedTuple):
    """Names of the old version with those of the new one, in the old order, and what is in one version only."""

    pairs: tuple[tuple[str, str], ...]
    removed: tuple[str, ...]
    added: tuple[str, ...]

    @property
    def renamed(self) -> tuple[tuple[str, str], ...]:
        """The pairs whose names differ."""
        return tuple(pair for pair in self.pairs if pair[0] != pair[1])


def matched(old: Mapping[str, Counter[str]], new: Mapping[str, Counter[str]]) -> Match:
    """Match named parts, each given by what it says, in file order."""
    left = [name for name in old if name not in new]
    right = [name for name in new if name not in old]
    likely = _likely([old[name] for name in left], [new[name] for name in right])
    called = {left[i]: right[j] for i, j in likely.items()}
    pairs = [(name, called.get(name, name)) for name in old if name in new or name in called]
    removed = tuple(name for name in left if name not in called)
    found = frozenset(called.values())
    return Match(tuple(pairs), removed, tuple(name for name in right if name not in found))


def likeness(one: Counter[str], other: Counter[str]) -> Fraction:
    """Give how much of what two parts say both say, from 0 to 1."""
    total = one.total() + other.total()
    return Fraction(2 * (one & other).total(), total) if total else Fraction(0)


def _likely(left: Sequence[Counter[str]], right: Sequence[Counter[str]]) -> dict[int, int]:
    """Give the index on the right for each on the left that has one."""
    if len(left) * len(right) > MOST_PAIRS:
        return dict(_equal(left, right))
    found = []
    for i, one in enumerate(left):
        for j, other in enumerate(right):
            score = likeness(one, other)
            if score >= ENOUGH:
                found.append((-score, abs(i - j), min(i, j), max(i, j), i, j))
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for *_, i, j in sorted(found):
        if i not in pairs and j not in taken:
            pairs[i] = j
            taken.add(j)
    return pairs


def _equal(left: Sequence[Counter[str]], right: Sequence[Counter[str]]) -> Iterator[tuple[int, int]]:
    """Match what says exactly the same, in order."""
    waiting: dict[frozenset[tuple[str, int]], deque[int]] = {}
    for j, other in enumerate(right):
        waiting.setdefault(frozenset(other.items()), deque()).append(j)
    for i, one in enumerate(left):
        equal = waiting.get(frozenset(one.items()))
        if one and equal:
            yield i, equal.popleft()


def moved(old: Sequence[str], new: Sequence[str]) -> tuple[str, ...]:
    """Give the names that stand in another order, as few as can be; both orders hold the same names, each once."""
    first, second = sorted((tuple(old), tuple(new)))
    rank = {name: at for at, name in enumerate(first)}
    order = [rank[name] for name in second]
    kept = _longest_increasing(order)
    return tuple(name for name in new if rank[name] not in kept)


def _longest_increasing(order: Sequence[int]) -> frozenset[int]:
    ends: list[int] = []
    before: dict[int, int | None] = {}
    for number in order:
        at = bisect_left(ends, number)
        before[number] = ends[at - 1] if at else None
        ends[at : at + 1] = [number]
    kept = []
    number_or_none = ends[-1] if ends else None
    while number_or_none is not None:
        kept.append(number_or_none)
        number_or_none = before[number_or_none]
    return frozenset(kept)
