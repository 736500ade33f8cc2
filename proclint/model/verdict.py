"""Whether a value fits a schema: yes or no, at a fraction of what a whole validation costs.

`Draft202012Validator` makes a new validator and a new resolver at every node, which is most of its time. Our schemas carry
no references once they are loaded, so one small visitor that calls the same keyword functions gives the same answer. What
is wrong is always told by the validator itself, and a test holds the two against each other.
"""

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, Self, final

from proclint.model.schema import inlined, to_the_very_end

Fits = Callable[[object], bool]


def fits(instance: object, kind: str) -> bool:
    """Whether a value (texts, whole numbers, booleans, lists and dicts) fits the schema of a kind of file.

    jsonschema-rs is asked first where it is installed; its no is not taken for an answer, and neither is its failure.
    """
    return _says_yes(first_pass(kind), instance) or visitor(kind).is_valid(instance)


def _says_yes(ask: Fits | None, instance: object) -> bool:
    if ask is None:
        return False
    try:
        return ask(instance)
    except Exception:  # noqa: BLE001 - whatever goes wrong in an optional first pass, the second one decides
        return False


@cache
def first_pass(kind: str) -> Fits | None:
    """Give jsonschema-rs's own check of a kind of file, or nothing where that package is not installed."""
    try:
        import jsonschema_rs
    except ImportError:
        return None
    return jsonschema_rs.Draft202012Validator(inlined(kind)).is_valid


@cache
def visitor(kind: str) -> "Visitor":
    """Give the visitor for a kind of file, with jsonschema's keywords."""
    from jsonschema import Draft202012Validator

    return Visitor(Draft202012Validator.VALIDATORS, to_the_very_end(inlined(kind)))


@final
class Visitor:
    """Runs keyword functions over a value. It has the part of jsonschema's validator that these functions use."""

    __slots__ = ("keywords", "schema")

    def __init__(self, keywords: Mapping[str, Callable[..., Any]], schema: Any) -> None:
        self.keywords = keywords
        self.schema = schema

    def is_valid(self, instance: object) -> bool:
        """Whether a value fits the schema."""
        return next(self.descend(instance, self.schema), None) is None

    def evolve(self, *, schema: Any) -> Self:
        """Give a visitor for another schema, as keywords do that ask about a part."""
        return type(self)(self.keywords, schema)

    def descend(self, instance: object, schema: Any, path: object = None, schema_path: object = None) -> Iterator[object]:
        """Yield what does not fit; `path` and `schema_path` are given by keywords and not needed here."""
        if schema is False:
            yield "a part that may not be there"
        elif schema is not True:
            keywords = self.keywords
            for name, given in schema.items():
                if name in keywords:
                    yield from keywords[name](self, given, instance, schema) or ()

    def is_type(self, instance: object, name: str) -> bool:
        """Whether a value is of a JSON type."""
        return type(instance) is _TYPES[name]


_TYPES: Mapping[str, type] = MappingProxyType(
    {"string": str, "object": dict, "array": list, "integer": int, "number": int, "boolean": bool}
)
