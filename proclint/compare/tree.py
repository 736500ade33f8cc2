"""Fields that are compared as they are written, without more being known of them."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.compare.amounts import meant
from proclint.compare.difference import Difference, Weight, What
from proclint.source import Mapping, Node, Place, Scalar, Sequence


class Leaf(NamedTuple):
    """A text that stands in one version at a path below some place, and what stands there in the other; nothing = not there."""

    path: tuple[str, ...]
    old: str | None
    new: str | None
    at_old: Place | None
    at_new: Place | None


def leaves(old: Place | None, new: Place | None, path: tuple[str, ...] = ()) -> Iterator[Leaf]:
    """Give the texts that differ below two places, whatever the order of names; a list of one is that one."""
    values = _only(old), _only(new)
    nodes = [each.node if each is not None else None for each in values]
    parts = [_parts(each) for each in values]
    texts = [node.text if isinstance(node, Scalar) else None for node in nodes]
    meanings = [meant(text) if text is not None else None for text in texts]
    if meanings[0] != meanings[1]:
        yield Leaf(path, texts[0], texts[1], *(at if text is not None else None for at, text in zip(values, texts, strict=True)))
    for name in dict.fromkeys((*parts[0], *parts[1])):
        yield from leaves(parts[0].get(name), parts[1].get(name), (*path, name))


def _only(at: Place | None) -> Place | None:
    while at is not None and isinstance(at.node, Sequence) and len(at.node.items) == 1:
        at = at / 0
    return at


def _parts(at: Place | None) -> dict[str, Place]:
    node: Node | None = at.node if at is not None else None
    if at is None or node is None or isinstance(node, Scalar):
        return {}
    if isinstance(node, Mapping):
        return {name: at / name for name in node.pairs}
    return {str(index + 1): at / index for index in range(len(node.items))}


def of_tree(old: Place, new: Place, name: str, *, what: What, weight: Weight = Weight.OTHER) -> Iterator[Difference]:
    """Tell each text that differs below a field; `name` is what a person calls the field."""
    for leaf in leaves(old, new):
        shown = ", ".join((name, *leaf.path))
        if leaf.new is None:
            text = f"{shown}: '{leaf.old}' is gone."
        elif leaf.old is None:
            text = f"{shown}: '{leaf.new}' is new."
        else:
            text = f"{shown}: '{leaf.new}', before '{leaf.old}'."
        yield Difference(what, weight, leaf.at_old, leaf.at_new, text)
