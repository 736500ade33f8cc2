"""What loops together: the strong components of a small graph, in the order in which they lead to one another.

R. Tarjan 1972, from memory. networkx has it too, and takes longer to load than most files take to be checked.
"""

from collections.abc import Sequence
from itertools import filterfalse


def onward(leading: Sequence[Sequence[int]]) -> list[tuple[int, int]]:
    """Give a key to sort the nodes of a graph by, so that what leads somewhere comes before it, loops aside.

    `leading` are the nodes to which each leads; all are reached from the first. Those of one loop have the same first number.
    """
    size = len(leading)
    met, held, least = {0: 0}, [0], [0, *[size] * (size - 1)]
    keys, left, last = [(0, 0)] * size, [0] * size, 0
    waiting = [(0, iter(leading[0]))]
    while waiting:
        at, targets = waiting[-1]
        target = next(filterfalse(met.__contains__, targets), None)
        if target is not None:
            met[target] = least[target] = len(met)
            held.append(target)
            waiting.append((target, iter(leading[target])))
            continue
        waiting.pop()
        last -= 1
        left[at] = last
        least[at] = min(map(least.__getitem__, (at, *leading[at])))
        if least[at] == met[at]:
            # All that was met since, and is not told yet, leads back to it.
            first = held.index(at)
            for each in held[first:]:
                keys[each], least[each] = (left[at], left[each]), size
            del held[first:]
    return keys
