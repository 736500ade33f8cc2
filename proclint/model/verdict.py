"""Whether a value fits a schema: yes or no, at a fraction of what a whole validation costs.

`Draft202012Validator` makes a new validator and a new resolver at every node, which is most of its time. Our
schemas carry no references once they are loaded, so one small visitor that calls the same keyword functions
gives the same answer. What is wrong is always told by the validator itself, and a test holds the two against
each other.
"""

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple, Self, cast, final

from proclint.model.schema import Json, Schema, inlined, to_the_very_end


def surely_fits(instance: object, kind: str, part: str = "") -> bool:
    """Whether a value of texts, whole numbers, booleans, lists and dicts surely fits a kind of file, or what it says of a field.

    jsonschema-rs is asked where it is installed. Its no only means that a slower look is needed.
    """
    ask = _installed_check(kind, part)
    if ask is None:
        return visitor(kind, part).is_valid(instance)
    try:
        return ask(instance)
    except Exception:  # noqa: BLE001 - whatever goes wrong in an optional first look, the slower one decides
        return False


@cache
def _installed_check(kind: str, part: str) -> Callable[[object], bool] | None:
    try:
        import jsonschema_rs
    except ImportError:
        return None
    return jsonschema_rs.Draft202012Validator(_schema(kind, part)).is_valid


@cache
def visitor(kind: str, part: str = "") -> "Visitor":
    """Give the visitor for a kind of file, or for one of its fields, with jsonschema's keywords."""
    from jsonschema import Draft202012Validator

    return Visitor(Draft202012Validator.VALIDATORS, to_the_very_end(_schema(kind, part)))


def _schema(kind: str, part: str) -> Schema:
    whole = inlined(kind)
    return cast("dict[str, Schema]", whole["properties"])[part] if part else whole


class Narrowed(NamedTuple):
    """A value without those of its steps and endings that surely fit, and the names of its fields that fit as they are left."""

    value: Json
    fitting: frozenset[str] = frozenset()


def without_what_fits(instance: Json, kind: str) -> Narrowed:
    """Set apart what of a value surely fits, so that only what does not has to be gone through."""
    if not isinstance(instance, dict):
        return Narrowed(instance)
    value = {name: _narrowed(each, kind, name) if name in _NAMED_PARTS else each for name, each in instance.items()}
    known = cast("Schema", inlined(kind).get("properties", {}))
    fitting = (name for name, each in value.items() if name in known and surely_fits(each, kind, name))
    return Narrowed(value, frozenset(fitting))


def _narrowed(value: Json, kind: str, part: str) -> Json:
    if not isinstance(value, dict) or not value:
        return value
    left = {name: each for name, each in value.items() if not surely_fits({name: each}, kind, part)}
    # With none left it would be wrong in another way.
    return left or dict([next(iter(value.items()))])


_NAMED_PARTS = frozenset({"steps", "fallbacks", "endings"})


@final
class Visitor:
    """Runs keyword functions over a value; it has the part of jsonschema's validator that they use."""

    __slots__ = ("keywords", "schema")

    def __init__(self, keywords: Mapping[str, Callable[..., Any]], schema: Json) -> None:
        self.keywords = keywords
        self.schema = schema

    def is_valid(self, instance: object) -> bool:
        """Whether a value fits the schema."""
        return next(self.descend(instance, self.schema), None) is None

    def evolve(self, *, schema: Json) -> Self:
        """Give a visitor for another schema, as keywords do that ask about a part."""
        return type(self)(self.keywords, schema)

    def descend(self, instance: object, schema: Json, **_: object) -> Iterator[object]:
        """Yield something for what does not fit; the places that keywords also give are not needed here."""
        if isinstance(schema, dict):
            keywords = self.keywords
            for name, given in schema.items():
                if name in keywords:
                    yield from keywords[name](self, given, instance, schema) or ()
        elif not schema:
            from jsonschema import ValidationError

            # `anyOf` gathers what its parts yield, and wants this type.
            yield ValidationError("nothing may stand here")

    def is_type(self, instance: object, name: str) -> bool:
        """Whether a value is of a JSON type."""
        return type(instance) is _TYPES[name]


_TYPES: Mapping[str, type] = MappingProxyType(
    {"string": str, "object": dict, "array": list, "integer": int, "number": int, "boolean": bool}
)
