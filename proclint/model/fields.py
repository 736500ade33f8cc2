"""Reading single fields of a tree that is known to have the right shape."""

from proclint.catalogue import Duration, read_duration
from proclint.model.flow import Word
from proclint.source import Mapping, Node, Place, Scalar, Sequence


def text(node: Node | None) -> str:
    """Give a scalar's text, or nothing."""
    return node.text if isinstance(node, Scalar) else ""


def field(node: Node | None, name: str) -> Node | None:
    """Give the value of a field, or nothing."""
    if isinstance(node, Mapping) and name in node.pairs:
        return node.pairs[name][1]
    return None


def text_of(node: Node | None, name: str) -> str:
    """Give the text of a field, or nothing."""
    return text(field(node, name))


def parts_in(at: Place, name: str) -> list[tuple[str, Place]]:
    """Give name and place of each field of the mapping in a field, none where it is missing."""
    return (at / name).fields() if has(at, name) else []


def has(at: Place, name: str) -> bool:
    """Whether a mapping has a field."""
    return isinstance(at.node, Mapping) and name in at.node.pairs


def words_in(at: Place, name: str) -> tuple[Word, ...]:
    """Give the texts in a field with their places, none where it is missing."""
    return words_of(at / name) if has(at, name) else ()


def words_of(place: Place) -> tuple[Word, ...]:
    """Give the texts of a list, or of one text, with their places."""
    return tuple([Word(text(item.node), item) for item in place.items()])


def texts_of(node: Node | None) -> tuple[str, ...]:
    """Give the texts of a list, or of one text; nothing gives none."""
    if isinstance(node, Sequence):
        return tuple([text(item) for item in node.items])
    return (text(node),) if node is not None else ()


def texts_by_name(node: Node | None) -> dict[str, str]:
    """Give the texts of a mapping by their names."""
    return {name: text(value) for name, (_, value) in node.pairs.items()} if isinstance(node, Mapping) else {}


def number(written: str, otherwise: int = 0) -> int:
    """Give a whole number that the shape has checked already."""
    return int(written) if written.isascii() and written.isdigit() else otherwise


def span(written: str) -> tuple[int, int]:
    """Read `2` or `1-4` as least and most."""
    least, _, most = written.partition("-")
    return number(least), number(most or least)


def milliseconds(node: Node | None) -> int | None:
    """Read one duration such as `30 s`."""
    duration = read_duration(text(node)) if node is not None else None
    return duration.most if duration is not None else None


def duration(node: Node | None) -> Duration | None:
    """Read a duration or a range of them."""
    return read_duration(text(node)) if node is not None else None
