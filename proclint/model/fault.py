"""What keeps a part of a file from having a meaning."""

from typing import NamedTuple

from proclint.source import Place


class Fault(NamedTuple):
    """One misfit between a file and the format.

    `kind` is one of `missing-field`, `unknown-field`, `no-unit`, `not-in-vocabulary`, `missing-parameter`,
    `no-ending-kind`, `unreadable-line`, `block-not-pinned`, `wrong-shape`, `years-inverted`, `time-inverted`, `name-of-two`.
    `name` is the field, verb or word it is about, `found` what stands there, `expected` what may stand there in plain words,
    `suggestion` the nearest text that would do, `other` a second place.
    """

    kind: str
    at: Place
    name: str = ""
    found: str = ""
    expected: str = ""
    suggestion: str = ""
    other: Place | None = None
