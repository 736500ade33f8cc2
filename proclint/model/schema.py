"""The packaged JSON Schemas (draft 2020-12), and how they are made ready for checking.

The files are written for people: what is used twice stands under `$defs`, everything has a description. A
validator would follow each reference anew at each node, so references are put in place once, at load. No
schema is recursive.
"""

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TypeAlias, cast

Json: TypeAlias = "str | int | bool | list[Json] | dict[str, Json] | None"
Schema: TypeAlias = dict[str, Json]

KINDS = ("procedure", "block", "library", "sources", "accepted")

_FOLDER = Path(__file__).with_name("schemas")
_SCHEMA = frozenset({"items", "additionalProperties", "propertyNames", "if", "then", "else", "not"})
_SCHEMAS_BY_NAME = frozenset({"properties", "dependentSchemas", "$defs"})
_SCHEMAS_IN_LIST = frozenset({"anyOf", "allOf"})
_UNUSED = frozenset({"$schema", "$id", "$defs", "$ref", "description"})


def with_parts(schema: Schema, change: Callable[[Schema], Schema]) -> Schema:
    """Give a schema with each schema directly inside it changed; what is only true or false stays."""

    def changed(part: Json) -> Json:
        return change(part) if isinstance(part, dict) else part

    def keyword(name: str, given: Json) -> Json:
        if name in _SCHEMAS_BY_NAME and isinstance(given, dict):
            return {part: changed(value) for part, value in given.items()}
        if name in _SCHEMAS_IN_LIST and isinstance(given, list):
            return [changed(value) for value in given]
        return changed(given) if name in _SCHEMA else given

    return {name: keyword(name, given) for name, given in schema.items()}


@cache
def as_written(name: str) -> Schema:
    """Give the schema file `NAME.schema.json` as it stands in the package."""
    text = (_FOLDER / f"{name}.schema.json").read_text(encoding="utf-8")
    return cast("Schema", json.loads(text))


def referred(ref: str, home: str) -> tuple[Schema, str]:
    """Give the schema that a `$ref` in file `home` means, and the name of the file that it stands in."""
    uri, _, pointer = ref.partition("#")
    file = uri.split(":")[2] if uri else home
    target: Json = as_written(file)
    for step in pointer.strip("/").split("/"):
        target = cast("Schema", target)[step]
    return cast("Schema", target), file


@cache
def inlined(kind: str) -> Schema:
    """Give the schema of a kind of file without references; of what only people read, the titles stay."""
    return _inlined(as_written(kind), kind, {})


def _inlined(schema: Schema, home: str, made: dict[tuple[str, str], Schema]) -> Schema:
    used = {name: given for name, given in schema.items() if name not in _UNUSED}
    own = with_parts(used, lambda part: _inlined(part, home, made))
    ref = schema.get("$ref")
    if not isinstance(ref, str):
        return own
    if (home, ref) not in made:
        target, file = referred(ref, home)
        made[home, ref] = _inlined(target, file, made)
    return joined(made[home, ref], own)


def joined(target: Schema, beside: Schema) -> Schema:
    """Give one schema for a reference's target and the keywords beside the reference; the two must differ."""
    clash = (target.keys() & beside.keys()) - {"title", "description"}
    if clash:
        raise ValueError(f"a reference and the keywords beside it both say {', '.join(sorted(clash))}")
    return {**target, **beside}


def to_the_very_end(schema: Schema) -> Schema:
    """Give a schema whose patterns mean in Python what they mean in ECMA-262."""
    found = with_parts(schema, to_the_very_end)
    pattern = found.get("pattern")
    if isinstance(pattern, str):
        found["pattern"] = to_the_end(pattern)
    return found


def to_the_end(pattern: str) -> str:
    """Give a pattern whose last `$` is the end of the text, as in ECMA-262: in Python it also stands before a last line feed."""
    return pattern[:-1] + r"\Z" if pattern.endswith("$") else pattern
