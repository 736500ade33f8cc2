"""The three kinds of node that a plain YAML file has, each with its span in code points.

Scalars are text, whatever they look like: the field that reads one decides what it is.
"""

from typing import TypeAlias, final

Plain: TypeAlias = str | int | bool | list["Plain"] | dict[str, "Plain"]


@final
class Scalar:
    """A text. `start` to `end` is its span, quotes included.

    `style` is the reader's: a quotation mark, `|` or `>` of a block, nothing for a plain text.
    """

    __slots__ = ("end", "start", "style", "text")

    def __init__(self, text: str, start: int, end: int, style: str | None) -> None:
        self.text = text
        self.start = start
        self.end = end
        self.style = style

    @property
    def quote(self) -> int:
        """Whether a quotation mark opens it, as the number of them."""
        return 1 if self.style in ("'", '"') else 0

    @property
    def is_verbatim(self) -> bool:
        """Whether the file holds the text as it is: no escape or fold lengthens one, so where both have one length they fit."""
        return self.end - self.start - 2 * self.quote == len(self.text) and self.style not in ("|", ">")

    @property
    def text_start(self) -> int:
        """The offset at which the text itself begins."""
        return self.start + self.quote

    def __repr__(self) -> str:
        return f"Scalar({self.text!r})"


@final
class Sequence:
    """A list of nodes."""

    __slots__ = ("end", "items", "start")

    def __init__(self, start: int) -> None:
        self.items: list[Node] = []
        self.start = start
        self.end = start


@final
class Mapping:
    """Names and nodes, in file order: `pairs[name]` is the key's own scalar and the value."""

    __slots__ = ("end", "pairs", "start")

    def __init__(self, start: int) -> None:
        self.pairs: dict[str, tuple[Scalar, Node]] = {}
        self.start = start
        self.end = start


Node: TypeAlias = Scalar | Sequence | Mapping


def plain(node: Node) -> Plain:
    """Give the tree as texts, lists and dicts without places."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return {name: plain(value) for name, (_, value) in node.pairs.items()}
