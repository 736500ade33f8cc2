"""What a check is given."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Input:
    """A file to check: its name, what it is (`steps`, `library`, `sources`, `accepted`, `facts`) and its bytes.

    No data stands for a file that is over the size limit; `is_context` for one that is only there to be followed.
    """

    name: str
    kind: str
    data: bytes | None
    is_context: bool = False
