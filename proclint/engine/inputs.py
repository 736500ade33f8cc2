"""What a check is given."""

from typing import NamedTuple

from proclint.source import Limits, Trouble
from proclint.source.text import too_large, unreadable


class Input(NamedTuple):
    """A file to check: its name, what it is (`steps`, `library`, `sources`, `accepted`, `facts`) and its bytes.

    No data stands for a file that is over the size limit or, where `unread` says why, for one that could not be read at all.
    `is_context` stands for one that is only there to be followed.
    """

    name: str
    kind: str
    data: bytes | None
    is_context: bool = False
    unread: str = ""

    @property
    def content(self) -> bytes | Trouble:
        """Its bytes, or what keeps them from being there."""
        if self.unread:
            return unreadable(self.name, self.unread)
        return too_large(self.name, Limits()) if self.data is None else self.data
