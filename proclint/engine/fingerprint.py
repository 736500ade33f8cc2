"""A name for a result that stays when something else in the file changes.

It is made of the rule, the subject, the procedure or block, and the path to the place in which a list index
is replaced by the verb found there and its ordinal; never of message, number, line, level or file name.
"""

from collections import Counter
from collections.abc import Iterable

from proclint.engine.report import Reported
from proclint.source import Mapping, Node, Place, Scalar, Sequence

NAME = "proclint/v1"


def fingerprint(rule: str, subject: str, owner: str, at: Place, root: Node | None) -> str:
    """Give the fingerprint of a result that stands at `at` in the tree of `root`."""
    # Loaded where there is a result: it takes as long as twenty modules of ours.
    from hashlib import sha256

    said = "\n".join((rule, subject, owner, *_named(at, root)))
    return sha256(said.encode()).hexdigest()[:32]


def distinct(results: Iterable[Reported]) -> list[Reported]:
    """Tell results with one fingerprint apart by a number in order of place; the results keep their order.

    The first keeps the fingerprint, the next has `-2` behind it, and so on.
    """
    found = list(results)
    seen: Counter[str] = Counter()
    for index in sorted(range(len(found)), key=lambda index: _standing(found[index])):
        mark = found[index].fingerprint
        seen[mark] += 1
        if seen[mark] > 1:
            found[index] = found[index]._replace(fingerprint=f"{mark}-{seen[mark]}")
    return found


def _standing(each: Reported) -> tuple[str, int, int, str]:
    at = each.result.at
    return (at.file, at.start, at.end, each.result.message)


def _named(at: Place, root: Node | None) -> list[str]:
    names = []
    node = root
    for step in at.path:
        if isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            names.append(_ordinal(node, step))
            node = node.items[step]
            continue
        names.append(str(step))
        known = isinstance(node, Mapping) and isinstance(step, str) and step in node.pairs
        node = node.pairs[step][1] if known and isinstance(node, Mapping) and isinstance(step, str) else None
    return names


def _ordinal(items: Sequence, index: int) -> str:
    verbs = [_verb(item) for item in items.items[: index + 1]]
    return f"{verbs[-1]} {verbs.count(verbs[-1])}"


def _verb(node: Node) -> str:
    if isinstance(node, Scalar):
        return node.text.partition(" ")[0]
    if isinstance(node, Mapping):
        if "do" in node.pairs:
            return _verb(node.pairs["do"][1])
        return next(iter(node.pairs), "")
    return _verb(node.items[0]) if node.items else ""
