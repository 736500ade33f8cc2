"""Whether a value fits its kind of file: yes or no, at a fraction of what a whole validation costs."""

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, NamedTuple, cast

from proclint.model.fitting import Fit, fit_of
from proclint.model.schema import Json, Schema, inlined

if TYPE_CHECKING:
    from jsonschema_rs import Draft202012Validator


def surely_fits(instance: object, kind: str, part: str = "") -> bool:
    """Whether a value of texts, whole numbers, booleans, lists and dicts surely fits a kind of file, or what it says of a field.

    jsonschema-rs is asked where it is installed. Its no only means that a slower look is needed.
    """
    ask = _installed_check(kind, part)
    if ask is None:
        return fit_for(kind, part)(instance)
    try:
        return ask(instance)
    except Exception:  # noqa: BLE001 - whatever goes wrong in an optional first look, the slower one decides
        return False


@cache
def _installed_check(kind: str, part: str) -> Callable[[object], bool] | None:
    maker = _installed()
    return maker(_schema(kind, part)).is_valid if maker is not None else None


@cache
def _installed() -> type["Draft202012Validator"] | None:
    try:
        from jsonschema_rs import Draft202012Validator
    except ImportError:
        return None
    return Draft202012Validator


@cache
def fit_for(kind: str, part: str = "") -> Fit:
    """Give the function that says whether a value fits a kind of file, or what that says of a field."""
    return fit_of(_schema(kind, part))


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
