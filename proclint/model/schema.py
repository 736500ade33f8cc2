"""The packaged JSON Schemas (draft 2020-12), and how they are made ready for checking.

The files are written for people: parts that are used twice stand under `$defs`, everything has a description. A validator
would follow each reference anew at each node, so references are put in place once, at load; no schema is recursive.
"""

import json
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import TypeAlias, cast

Json: TypeAlias = "str | int | bool | None | list[Json] | dict[str, Json]"
Schema: TypeAlias = dict[str, Json]

KINDS = ("procedure", "block", "library", "sources", "accepted")

_FOLDER = Path(__file__).with_name("schemas")
_SCHEMA = frozenset({"items", "additionalProperties", "propertyNames", "if", "then", "else", "not"})
_SCHEMAS_BY_NAME = frozenset({"properties", "patternProperties", "dependentSchemas", "$defs"})
_SCHEMAS_IN_LIST = frozenset({"anyOf", "allOf", "oneOf"})
_UNUSED = frozenset({"$schema", "$id", "$defs", "$ref", "description"})
_NOTES = frozenset({"title", "description"})


def each_part(schema: Schema, change: Callable[[Schema], Json]) -> Schema:
    """Give a schema with each schema directly inside it changed; what is true or false stays."""

    def changed(part: Json) -> Json:
        return change(part) if isinstance(part, dict) else part

    found: Schema = {}
    for keyword, value in schema.items():
        if keyword in _SCHEMAS_BY_NAME and isinstance(value, dict):
            value = {name: changed(part) for name, part in value.items()}
        elif keyword in _SCHEMAS_IN_LIST and isinstance(value, list):
            value = [changed(part) for part in value]
        elif keyword in _SCHEMA:
            value = changed(value)
        found[keyword] = value
    return found


@cache
def as_written(name: str) -> Schema:
    """Give the schema file `NAME.schema.json` as it stands in the package."""
    text = (_FOLDER / f"{name}.schema.json").read_text(encoding="utf-8")
    return cast(Schema, json.loads(text))


def referred(ref: str, home: str) -> tuple[Schema, str]:
    """Give the schema that a `$ref` in file `home` means, and the name of the file that it stands in."""
    uri, _, pointer = ref.partition("#")
    if uri:
        home = uri.split(":")[2]
    target: Json = as_written(home)
    for step in pointer.strip("/").split("/"):
        target = cast(Schema, target)[step]
    return cast(Schema, target), home


@cache
def inlined(kind: str) -> Schema:
    """Give the schema of a kind of file without references and without what only people read, titles excepted."""
    made: dict[tuple[str, str], Schema] = {}
    return _inlined(as_written(kind), kind, made)


def _inlined(schema: Schema, home: str, made: dict[tuple[str, str], Schema]) -> Schema:
    used: Schema = {keyword: value for keyword, value in schema.items() if keyword not in _UNUSED}
    own = each_part(used, lambda part: _inlined(part, home, made))
    ref = schema.get("$ref")
    if not isinstance(ref, str):
        return own
    if (home, ref) not in made:
        made[home, ref] = _inlined(*referred(ref, home), made)
    return _joined(made[home, ref], own) if own else made[home, ref]


def _joined(referred_to: Schema, own: Schema) -> Schema:
    clash = (referred_to.keys() & own.keys()) - _NOTES
    if clash:
        raise ValueError(f"a reference and the keywords beside it both say {', '.join(sorted(clash))}")
    return {**referred_to, **own}


def to_the_very_end(schema: Schema) -> Schema:
    """Give a schema whose patterns mean in Python what they mean in ECMA-262: a closing `$` is the end of the text.

    In Python `$` also stands before a last line feed.
    """
    found = each_part(schema, to_the_very_end)
    pattern = found.get("pattern")
    if isinstance(pattern, str) and pattern.endswith("$"):
        found["pattern"] = pattern[:-1] + r"\Z"
    return found


