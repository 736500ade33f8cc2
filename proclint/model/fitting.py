"""What a schema asks of a value, made into a function once.

Most files fit, and of those only a yes is wanted; to load jsonschema for it takes as long as a tenth of a whole
check. What does not fit is told by jsonschema alone, and tests hold the two against each other, against a second
implementation and against the standard's own cases of each keyword.

Values are those of `shape.typed`: texts, whole numbers, booleans, lists and dicts. Schemas have no references.
"""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, TypeAlias, final

from proclint.model.schema import Json, to_the_end

Fit: TypeAlias = Callable[[Any], bool]
Asked: TypeAlias = tuple[tuple[type, ...], Fit]

_TYPES: Mapping[str, type] = MappingProxyType(
    {"string": str, "integer": int, "number": int, "boolean": bool, "object": dict, "array": list}
)
_EVERY = tuple(dict.fromkeys(_TYPES.values()))


def fit_of(schema: Json) -> Fit:
    """Give the function that says whether a value fits a schema.

    For a keyword that no schema of ours has it raises KeyError, as the function does where such a one lies deeper.
    """
    if not isinstance(schema, dict):
        return _anything if schema else _nothing
    asked: dict[type, list[Fit]] = {each: [] for each in _types(schema)}
    for types, fit in _asked(schema):
        for each in asked.keys() & types:
            asked[each].append(fit)
    asked_of = {each: tuple(all_asked) for each, all_asked in asked.items()}.get

    def fits(value: object) -> bool:
        all_asked = asked_of(type(value))
        if all_asked is None:
            return False
        for fit in all_asked:  # noqa: SIM110 - `all` takes half as long again, here and below
            if not fit(value):
                return False
        return True

    return fits


def _anything(_: object) -> bool:
    return True


def _nothing(_: object) -> bool:
    return False


def _types(schema: Mapping[str, Any]) -> tuple[type, ...]:
    if "type" not in schema:
        return _EVERY
    names = schema["type"]
    return tuple(_TYPES[name] for name in ([names] if isinstance(names, str) else names))


def _asked(schema: Mapping[str, Any]) -> Iterator[Asked]:
    """Give what the keywords of a schema ask, each with the types of value that it asks about."""
    for name, given in schema.items():
        if name not in _SAYS_NOTHING:
            types, made = _KEYWORDS[name]
            yield types, made(given)
    if not schema.keys().isdisjoint(("properties", "additionalProperties")):
        yield (dict,), _fields(schema)
    if "if" in schema:
        yield _EVERY, _one_or_other(schema)


@final
class _Fields(dict[str, Fit]):
    """What is asked of the fields of a name, made when the first one is met: most files have few of all that may stand in one."""

    def __init__(self, schema: Mapping[str, Any]) -> None:
        super().__init__()
        self.schemas: Mapping[str, Json] = schema.get("properties", {})
        self.other = fit_of(schema.get("additionalProperties", True))

    def __missing__(self, name: str) -> Fit:
        if name not in self.schemas:
            return self.other
        fit = self[name] = fit_of(self.schemas[name])
        return fit


def _fields(schema: Mapping[str, Any]) -> Fit:
    asked = _Fields(schema)

    def fields(value: Mapping[str, object]) -> bool:
        for name, each in value.items():  # noqa: SIM110
            if not asked[name](each):
                return False
        return True

    return fields


def _one_or_other(schema: Mapping[str, Any]) -> Fit:
    asked, then, otherwise = (fit_of(schema.get(name, True)) for name in ("if", "then", "else"))
    return lambda value: then(value) if asked(value) else otherwise(value)


def _enum(given: list[Any]) -> Fit:
    texts, written = frozenset(each for each in given if type(each) is str), frozenset(map(_written, given))
    return lambda value: value in texts if type(value) is str else _written(value) in written


def _written(value: object) -> str:
    """Write a value as JSON: true and 1 are two values there, and one in Python."""
    return json.dumps(value, sort_keys=True)


def _pattern(given: str) -> Fit:
    search = re.compile(to_the_end(given)).search
    return lambda text: search(text) is not None


def _every_item(given: Json) -> Fit:
    fit = fit_of(given)
    return lambda items: all(map(fit, items))


def _differ(given: Json) -> Fit:
    return (lambda items: len(set(map(_written, items))) == len(items)) if given else _anything


def _all(given: list[Any]) -> Fit:
    fits = tuple(fit_of(each) for each in given)
    return lambda value: all(fit(value) for fit in fits)


def _any(given: list[Any]) -> Fit:
    fits = tuple(fit_of(each) for each in given)
    return lambda value: any(fit(value) for fit in fits)


def _not(given: Json) -> Fit:
    fit = fit_of(given)
    return lambda value: not fit(value)


def _fields_beside(given: Mapping[str, list[str]]) -> Fit:
    return lambda value: all(value.keys() >= set(needed) for name, needed in given.items() if name in value)


def _schemas_beside(given: Mapping[str, Any]) -> Fit:
    fits = {name: fit_of(each) for name, each in given.items()}
    return lambda value: all(fit(value) for name, fit in fits.items() if name in value)


def _required(given: list[str]) -> Fit:
    needed = frozenset(given)
    return lambda value: value.keys() >= needed


_SAYS_NOTHING = frozenset({"$schema", "title", "type", "properties", "additionalProperties", "if", "then", "else"})
_KEYWORDS: Mapping[str, tuple[tuple[type, ...], Callable[[Any], Fit]]] = MappingProxyType(
    {
        "enum": (_EVERY, _enum),
        "minimum": ((int,), lambda least: lambda number: number >= least),
        "maximum": ((int,), lambda most: lambda number: number <= most),
        "pattern": ((str,), _pattern),
        "minLength": ((str,), lambda least: lambda text: len(text) >= least),
        "items": ((list,), _every_item),
        "minItems": ((list,), lambda least: lambda items: len(items) >= least),
        "uniqueItems": ((list,), _differ),
        "required": ((dict,), _required),
        "propertyNames": ((dict,), _every_item),
        "minProperties": ((dict,), lambda least: lambda fields: len(fields) >= least),
        "maxProperties": ((dict,), lambda most: lambda fields: len(fields) <= most),
        "dependentRequired": ((dict,), _fields_beside),
        "dependentSchemas": ((dict,), _schemas_beside),
        "allOf": (_EVERY, _all),
        "anyOf": (_EVERY, _any),
        "not": (_EVERY, _not),
    }
)
