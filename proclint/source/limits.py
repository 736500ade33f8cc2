"""How large a file may be before it is refused."""

from typing import NamedTuple


class Limits(NamedTuple):
    """Bounds on one file: bytes, nesting depth, values (keys and values both count), and rows of a table."""

    size: int = 1 << 20
    depth: int = 64
    nodes: int = 50_000
    rows: int = 200_000
