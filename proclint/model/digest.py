"""A short name for what a file says, so that a review can name the text that it saw.

What is hashed is the file's canonical form: its tree as JSON (RFC 8259) in UTF-8 without spaces, names in order of their code
points, every scalar as its text, a list of one as that one, `steps` as a list of pairs since their order has a meaning, and
without the `reviewed` at the top. Comments, quotation marks, indents and the order of other names make no difference. The hash is
SHA-256 (FIPS 180-4); of its 64 hexadecimal digits the first 16 are written.
"""

import json

from proclint.source import Mapping, Node, Scalar, Sequence
from proclint.source.tree import Plain

_DIGITS = 16
_IN_ORDER = "steps"


def digest(root: Node | None, *, without: frozenset[str] = frozenset({"reviewed"})) -> str:
    """Give the digest of a file's tree, as 16 hexadecimal digits; `without` are the names at the top that are left out."""
    # Loaded where somebody asks: it takes as long as twenty modules of ours.
    from hashlib import sha256

    said = json.dumps(canonical(root, without=without), ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    # A text of the file may hold half a surrogate pair, which is no UTF-8; it still has to be told from another.
    return sha256(said.encode("utf-8", "surrogatepass")).hexdigest()[:_DIGITS]


def canonical(root: Node | None, *, without: frozenset[str] = frozenset()) -> Plain:
    """Give a file's tree as plain values, equal for two files that say the same in the same fields."""
    if not isinstance(root, Mapping):
        return _plain(root)
    return {
        name: [[step, _plain(each)] for step, (_, each) in value.pairs.items()]
        if name == _IN_ORDER and isinstance(value, Mapping)
        else _plain(value)
        for name, (_, value) in root.pairs.items()
        if name not in without
    }


def _plain(node: Node | None) -> Plain:
    if node is None or isinstance(node, Scalar):
        return node.text if node is not None else ""
    if isinstance(node, Sequence):
        items = [_plain(item) for item in node.items]
        return items[0] if len(items) == 1 else items
    return {name: _plain(value) for name, (_, value) in node.pairs.items()}
