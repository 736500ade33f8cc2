"""How often a step can be come to before every number that bounds it is used up.

Each step with `tries` can be passed as often as they say; a way that comes to a step k times is k ways through the others, so
the most of them is a greatest flow with those numbers as capacities of the steps (Ford and Fulkerson 1956: augmenting paths,
shortest first as by Edmonds and Karp 1972; both from memory). It is a bound from above: whether each outcome can follow the
others is not asked here.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from proclint.analysis import Written

# Into a step and out of it; between the two lies what its tries allow.
_Node: TypeAlias = tuple[str, str]
_ANY = 1 << 40


def attempts(written: Written, name: str) -> int | None:
    """Give the most times that a step of a file is done, blocks as one step each; nothing where no number bounds it."""
    rest = _capacities(written)
    tries = written.steps[name].step.tries
    start = written.flow.first.name
    first = 1 if start == name else _push(rest, (start, "in"), (name, "in"), most=1)
    if not first:
        return 0
    count = first
    while tries is None or count < tries:
        pushed = _push(rest, (name, "out"), (name, "in"), most=_ANY)
        if pushed == _ANY:
            return tries
        if not pushed:
            break
        count += pushed
    return count if tries is None else min(count, tries)


def _capacities(written: Written) -> dict[_Node, dict[_Node, int]]:
    rest: dict[_Node, dict[_Node, int]] = {}
    for name, each in written.steps.items():
        rest.setdefault((name, "in"), {})[name, "out"] = each.step.tries or _ANY
    for node, target in _edges(written):
        rest.setdefault(node, {})[target, "in"] = _ANY
    for one, others in list(rest.items()):
        for other in others:
            rest.setdefault(other, {}).setdefault(one, 0)
    return rest


def _edges(written: Written) -> Iterator[tuple[_Node, str]]:
    for name, each in written.steps.items():
        for leaving in each.exits:
            yield (name, "in" if leaving.outcome == "spent" else "out"), leaving.target
    for region in written.regions:
        yield from (((name, "out"), region.late) for name in region.steps)


def _push(rest: dict[_Node, dict[_Node, int]], source: _Node, target: _Node, *, most: int) -> int:
    """Send as much as one shortest path bears, and give how much it is."""
    path = list(_path(rest, source, target))
    if not path:
        return 0
    pushed = min(most, *(rest[one][other] for one, other in path))
    for one, other in path:
        if rest[one][other] != _ANY:
            rest[one][other] -= pushed
        if rest[other][one] != _ANY:
            rest[other][one] += pushed
    return pushed


def _path(rest: Mapping[_Node, Mapping[_Node, int]], source: _Node, target: _Node) -> Iterable[tuple[_Node, _Node]]:
    came_from: dict[_Node, _Node] = {source: source}
    queue = deque([source])
    while queue and target not in came_from:
        node = queue.popleft()
        for other, left in rest.get(node, {}).items():
            if left and other not in came_from:
                came_from[other] = node
                queue.append(other)
    while target in came_from and target != source:
        yield came_from[target], target
        target = came_from[target]
