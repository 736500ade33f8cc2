"""How long the ways through a procedure or a block take, from its first step to each of its endings or exits.

The quickest is the shortest way by the least times; the usual is the way with the fewest failures and, of these, with the
least usual time; the slowest is the longest way by the most times, each step with `tries` being entered as often as it may be
and each round done. Conditions on ways are not looked at, so that the slowest is never too small. A block's `tries` count
anew each time it is entered. The shortest ways are Dijkstra's (1959), the longest a pass in order over visits of steps, which
with their numbers of tries form no loop.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush
from typing import NamedTuple, TypeAlias

from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.time.lengths import NOTHING, Length, total
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.stn import Open
from proclint.model import End, Follow, Step

# Visits of steps that are looked at for the longest way.
MOST_VISITS = 50_000


@dataclass(frozen=True, slots=True)
class Span:
    """How long the ways to one ending or exit take together; with a `limit` the longest way could not be found.

    `usual_way` names the steps of the usual way in order, each with the outcome by which it is left.
    """

    length: Length
    usual_way: tuple[tuple[str, str], ...]
    limit: Open | None = None


class Passage(NamedTuple):
    """One outcome of a step: where it leads and how long the step takes then."""

    source: str
    target: str
    outcome: str
    is_failing: bool
    length: Length


_NO_WAY = Span(NOTHING, ())
_Cost: TypeAlias = tuple[int, int]
_Worst: TypeAlias = tuple[int, ...]
_Visit: TypeAlias = tuple[str, tuple[int, ...]]


class Spans:
    """The spans of flows, each block worked out once for what it is given."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._known: dict[object, Mapping[str, Span]] = {}

    def of(self, written: Written, pace: Pace) -> Mapping[str, Span]:
        """Give the span to each ending or exit that a way reaches; a block that is not there or follows itself has none."""
        key = (written.flow.id, tuple(sorted(pace.counts.items())), tuple(sorted(pace.told.items())))
        if key not in self._known:
            self._known[key] = {}
            self._known[key] = _Ways(written, pace, self).spans
        return self._known[key]

    def of_block(self, name: str, pace: Pace) -> Mapping[str, Span]:
        """Give the span to each exit of a block."""
        block = self.shelf.blocks.get(name)
        return {} if block is None else self.of(self.shelf.written(block), pace)

    def wished(self, follow: Follow, pace: Pace) -> Span:
        """Give the span of a block that is followed, left by its first exit; it takes no time where no way leads there."""
        block = self.shelf.blocks.get(follow.block)
        wished = next(iter(block.ends)) if block is not None else ""
        return self.of_block(follow.block, pace.inside(follow)).get(wished, _NO_WAY)


@dataclass(frozen=True)
class _Ways:
    """The ways through one flow."""

    written: Written
    pace: Pace
    inner: Spans

    @cached_property
    def spans(self) -> Mapping[str, Span]:
        """The span to each ending or exit that a way reaches."""
        quickest, usual = self.shortest(_by_least), self.shortest(_by_usual)
        longest, limit = self.longest
        found = {}
        for name, end in self.written.flow.ends.items():
            if name in quickest:
                way, worst = tuple(_backwards(usual, name)), longest.get(name, (0, 0, 0, 0))
                middle = sum(passage.length.usual for passage in way)
                length = Length(quickest[name][0][1], middle, worst[3], (worst[0], worst[1], worst[2]))
                stops = tuple((passage.source, passage.outcome) for passage in way)
                found[name] = self._through(end, Span(length, stops, limit))
        return found

    def _through(self, end: End, span: Span) -> Span:
        """Add the block that every way to an ending runs through."""
        before = next(iter(self.inner.of_block(end.through, self.pace).values()), _NO_WAY) if end.through else _NO_WAY
        return replace(span, length=total((span.length, before.length)), limit=span.limit or before.limit)

    @cached_property
    def passages(self) -> Mapping[str, tuple[Passage, ...]]:
        """The outcomes of each step that lead somewhere."""
        return {name: tuple(self._of_step(name, each)) for name, each in self.written.steps.items()}

    def _of_step(self, name: str, each: WrittenStep) -> Iterator[Passage]:
        there = self.written.steps.keys() | self.written.flow.ends.keys()
        for leaving in each.exits:
            length = self._length(each.step, leaving.outcome, is_failing=leaving.is_failing)
            if leaving.target in there and length is not None:
                yield Passage(name, leaving.target, leaving.outcome, leaving.is_failing, length)
        for region in self.written.regions:
            if name in region.steps and region.late in there:
                yield Passage(name, region.late, "late", is_failing=True, length=self.pace.step(each.step).or_nothing)

    def _length(self, step: Step, outcome: str, *, is_failing: bool) -> Length | None:
        """Give how long a step takes that is left by an outcome; nothing where no way through its block ends so."""
        if outcome == "spent":
            return NOTHING
        few, many = self.pace.rounds(step)
        if step.follow is None:
            once = self.pace.step(step)
            return (
                once.times((1, max(many, 1)))._replace(least=self._least_to_fail(step)) if is_failing else once.times((few, many))
            )
        spans = self.inner.of_block(step.follow.block, self.pace.inside(step.follow))
        if outcome not in spans:
            return None
        if not is_failing:
            return spans[outcome].length.times((few, many))
        wished = self.inner.wished(step.follow, self.pace).length
        return total((spans[outcome].length, wished.times((0, max(many - 1, 0)))))

    def _least_to_fail(self, step: Step) -> int:
        """Give how long a step takes at least until something in it can have failed."""
        taken = 0
        for part in self.pace.parts(step):
            taken += part.length.least
            if any(fails_by_itself(line) for line, _ in part.lines):
                break
        return taken

    def shortest(self, cost: Callable[[Passage], _Cost]) -> Mapping[str, tuple[_Cost, Passage | None]]:
        """Give for each step and ending the cost of the cheapest way there and its last passage."""
        found: dict[str, tuple[_Cost, Passage | None]] = {}
        first = self.written.flow.first.name
        heap: list[tuple[_Cost, int, str, Passage | None]] = [((0, 0), 0, first, None)]
        pushed = 0
        while heap:
            spent, _, name, by = heappop(heap)
            if name in found:
                continue
            found[name] = spent, by
            for passage in self.passages.get(name, ()):
                more = cost(passage)
                pushed += 1
                heappush(heap, ((spent[0] + more[0], spent[1] + more[1]), pushed, passage.target, passage))
        return found

    @cached_property
    def counted(self) -> Mapping[str, tuple[str, ...]]:
        """The steps with `tries` that can be entered again from each step: only their numbers make a difference there."""
        reach = {name: self._reach(name) for name in self.written.steps}
        turning = [name for name, each in self.written.steps.items() if each.step.tries is not None and name in reach[name]]
        return {name: tuple(each for each in turning if each in reach[name]) for name in reach}

    def _reach(self, name: str) -> frozenset[str]:
        seen: set[str] = set()
        waiting = [name]
        for each in waiting:
            fresh = [passage.target for passage in self.passages.get(each, ()) if passage.target not in seen]
            seen.update(fresh)
            waiting += fresh
        return frozenset(seen)

    @cached_property
    def longest(self) -> tuple[Mapping[str, _Worst], Open | None]:
        """Give the longest ways to each ending: at worst for each hand, and by the most times."""
        first = self.enter(self.written.flow.first.name, {})
        onward: dict[_Visit, list[tuple[_Visit, Length]]] = {}
        waiting, arriving = [first], {first: 0}
        for visit in waiting:
            onward[visit] = list(self._onward(visit))
            for following, _ in onward[visit]:
                if following not in arriving:
                    waiting.append(following)
                arriving[following] = arriving.get(following, 0) + 1
            if len(waiting) > MOST_VISITS:
                return {}, Open("visits of steps", MOST_VISITS)
        return _longest(first, onward, arriving)

    def enter(self, name: str, counts: Mapping[str, int]) -> _Visit:
        """Give the visit of a step that is entered with these numbers of tries used."""
        return name, tuple(counts.get(each, 0) for each in self.counted.get(name, ()))

    def _onward(self, visit: _Visit) -> Iterator[tuple[_Visit, Length]]:
        name, numbers = visit
        counts = dict(zip(self.counted.get(name, ()), numbers, strict=True))
        each = self.written.steps.get(name)
        if each is None:
            return
        is_spent = name in counts and each.step.tries is not None and counts[name] >= each.step.tries
        if name in counts and not is_spent:
            counts[name] += 1
        for passage in self.passages[name]:
            if (passage.outcome == "spent") == is_spent:
                yield self.enter(passage.target, counts), passage.length


def _longest(
    first: _Visit, onward: Mapping[_Visit, list[tuple[_Visit, Length]]], arriving: dict[_Visit, int]
) -> tuple[Mapping[str, _Worst], Open | None]:
    """Pass over visits in order, with the longest time to each."""
    reach: dict[_Visit, _Worst] = {first: (0, 0, 0, 0)}
    free = [first] if arriving[first] == 0 else []
    for visit in free:
        for following, length in onward[visit]:
            known = reach.get(following, (0, 0, 0, 0))
            more = (*length.worst, length.most)
            reach[following] = tuple(max(old, mine + new) for old, mine, new in zip(known, reach[visit], more, strict=True))
            arriving[following] -= 1
            if arriving[following] == 0:
                free.append(following)
    if len(free) < len(onward):
        return {}, Open("rounds that no number ends", 0)
    return {name: worst for (name, _), worst in reach.items()}, None


def _by_least(passage: Passage) -> _Cost:
    return 0, passage.length.least


def _by_usual(passage: Passage) -> _Cost:
    return int(passage.is_failing), passage.length.usual


def _backwards(found: Mapping[str, tuple[_Cost, Passage | None]], name: str) -> Iterator[Passage]:
    way = []
    by = found[name][1]
    while by is not None:
        way.append(by)
        by = found[by.source][1]
    return reversed(way)
