"""What comes of reading a line: the action it says, or why it says none."""

from collections.abc import Mapping
from typing import NamedTuple

from proclint.catalogue.entries import Action


class MatchedLine(NamedTuple):
    """The action that a line says and the words it gives to its parameters, without those it leaves out."""

    action: Action
    words: Mapping[str, str]


class Mismatch(NamedTuple):
    """Why a line says no action.

    `kind` is `unknown-verb`, `missing-parameter`, `wrong-word` or `extra-words`; `offset` and `length` are
    code points inside the line; `expected` says in plain words what may stand there, `suggestion` is the
    nearest word, `pattern` the nearest pattern of the verb, `parameter` the one it is about. Nothing known
    is an empty text. In the long form offset is 0.
    """

    kind: str
    offset: int
    length: int
    expected: str = ""
    suggestion: str = ""
    pattern: str = ""
    parameter: str = ""
