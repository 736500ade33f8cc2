"""Where a thing stands in a file.

A place is a file, a path inside it and a span. Offsets are code points, end exclusive; lines and columns
are computed from them at the edge only.
"""

from typing import Self, TypeAlias, final

from proclint.source.tree import Mapping, Node, Scalar, Sequence

Path: TypeAlias = tuple[str | int, ...]


@final
class Place:
    """A path into a file and the span that stands there.

    `place / "do" / 0` walks like a file path. Where a key or an item is missing, the path still names
    it, while the span stays that of the nearest existing parent: a result about what is not there needs
    no special case.
    """

    # Many are made and few are looked at: one below another knows that and its own step; the path is put together when asked.
    __slots__ = ("_above", "_shown", "_step", "file", "node")

    def __init__(self, file: str, path: Path, node: Node | None, span: tuple[int, int]) -> None:
        self.file = file
        self.node = node
        self._above: Path | Place = path
        self._step: str | int = ""
        self._shown: Node = Scalar("", *span, None)

    @property
    def path(self) -> Path:
        """The names and list indexes that lead here from the top."""
        steps: list[str | int] = []
        place: Place = self
        above = self._above
        while isinstance(above, Place):
            steps.append(place._step)
            place, above = above, above._above  # noqa: SLF001
        return (*above, *reversed(steps))

    @property
    def start(self) -> int:
        """The offset of what is shown."""
        return self._shown.start

    @property
    def end(self) -> int:
        """The offset behind what is shown."""
        return self._shown.end

    def _below(self, step: str | int, node: Node | None, shown: Node) -> "Place":
        place = object.__new__(Place)
        place.file = self.file
        place.node = node
        place._above = self
        place._step = step
        place._shown = shown
        return place

    def __truediv__(self, step: str | int) -> "Place":
        node = self.node
        if type(node) is Mapping:
            pair = node.pairs.get(step) if type(step) is str else None
            if pair is not None:
                key, value = pair
                return self._below(step, value, _looked_for(key, value))
        elif type(node) is Sequence and type(step) is int and 0 <= step < len(node.items):
            item = node.items[step]
            return self._below(step, item, item)
        return self._below(step, None, self._shown)

    def fields(self) -> list[tuple[str, "Place"]]:
        """Give name and place of each field of a mapping, in file order; of what is none there are none."""
        pairs = self.node.pairs.items() if type(self.node) is Mapping else ()
        return [(name, self._below(name, value, _looked_for(key, value))) for name, (key, value) in pairs]

    def items(self) -> list["Place"]:
        """Give the places of a list's items; what is no list is a list of itself; nothing gives none."""
        node = self.node
        if type(node) is Sequence:
            return [self._below(index, item, item) for index, item in enumerate(node.items)]
        return [self] if node is not None else []

    def key(self, name: str) -> "Place":
        """Give the place of a key itself and not of its value."""
        if isinstance(self.node, Mapping) and name in self.node.pairs:
            key, value = self.node.pairs[name]
            return self._below(name, value, key)
        return self / name

    def part(self, offset: int, length: int) -> "Place":
        """Give a place inside a scalar's text: `offset` and `length` in code points, at least one shown.

        Where offsets in the text do not fit the file (escapes, folded lines, blocks, a key's place), or reach
        beyond the text, it is the whole place.
        """
        node = self.node
        if not isinstance(node, Scalar) or not node.is_verbatim:
            return self
        is_own = (node.start, node.end) == (self.start, self.end)
        if not is_own or not 0 <= offset <= offset + length <= len(node.text):
            return self
        start, most = node.text_start + offset, node.end - node.quote
        return Place(self.file, self.path, node, (start, min(start + max(length, 1), most)))

    def _identity(self) -> tuple[str, Path, int, int]:
        return (self.file, self.path, self.start, self.end)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Place) and self._identity() == other._identity()

    def __hash__(self) -> int:
        return hash(self._identity())

    def __repr__(self) -> str:
        return f"Place({self.file}:{self.start}-{self.end} {'/'.join(map(str, self.path))})"

    @classmethod
    def of_file(cls, file: str) -> Self:
        """Give the place that stands for a file as a whole."""
        return cls(file, (), None, (0, 0))

    @classmethod
    def of_root(cls, file: str, node: Node | None) -> Self:
        """Give the place of a file's top node; what is shown of a mapping is its first name."""
        if node is None:
            return cls.of_file(file)
        shown: Node = node
        if isinstance(node, Mapping) and node.pairs:
            shown = next(iter(node.pairs.values()))[0]
        return cls(file, (), node, (shown.start, shown.end))


def _looked_for(key: Scalar, value: Node) -> Node:
    """Give what a person looks for: a text itself, and of a longer value, or an empty one, the name before it."""
    return value if type(value) is Scalar and value.end > value.start else key
