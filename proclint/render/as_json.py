"""JSON as text (RFC 8259): members in order, letters as they are, and nothing that a terminal or a CI log would obey."""

import json
import re
from collections.abc import Mapping, Sequence
from typing import TypeAlias

Json: TypeAlias = "str | int | bool | Sequence[Json] | Mapping[str, Json]"

# Left raw by the standard library: C1 controls, marks that turn the direction of writing, halves of letters; and the first of two
# hash signs that open a command.
_ESCAPED = re.compile("#(?=#[A-Za-z]*\\[)|[\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def as_json(value: Json, indent: int | None = None) -> str:
    """Write a value in one line, or indented by so many spaces a level."""
    text = json.dumps(value, ensure_ascii=False, indent=indent)
    # Such characters can stand only inside a string, where the escape means the same.
    return _ESCAPED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
