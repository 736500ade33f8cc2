"""What can be wrong with a file before its meaning is looked at."""

from typing import NamedTuple

from proclint.source.place import Place


class Trouble(NamedTuple):
    """One thing that makes a file, or a part of it, unreadable.

    `kind` is one of: `bytes` (not UTF-8 text), `limit` (too large, deep or long), `syntax` (not YAML or
    CSV), `not-plain` (anchor, alias, tag, directive, merge key), `key-not-text`, `duplicate-key` (a name or
    a column twice), `ragged-row`. `message` is a whole sentence; `change` says what to do; `other` is a
    second place, if there is one.
    """

    kind: str
    at: Place
    message: str
    change: str
    other: Place | None = None
