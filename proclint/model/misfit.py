"""From what a validator says of a value to faults at places, one for each cause."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, TypeAlias, cast

from proclint.model import phrase
from proclint.model.fault import Fault
from proclint.model.schema import Schema, as_written, inlined, to_the_very_end
from proclint.source import Place

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import ValidationError

_OUTCOMES = ("done", "fails", "spent", "late", "otherwise")


@dataclass(frozen=True, slots=True)
class _Misfit:
    """What one keyword says of one value: where, which name it is about, what stands there, the schema and the keyword's value."""

    at: Place
    name: str
    instance: object
    schema: Schema
    keyword: str
    given: Any
    is_name: bool

    @property
    def expected(self) -> str:
        return str(self.schema.get("title", ""))

    def fault(self, kind: str, *, expected: str = "", suggestion: str = "") -> Fault:
        return Fault(kind, self.at, self.name, _shown(self.instance), expected or self.expected, suggestion)


def misfits(at: Place, instance: object, kind: str) -> tuple[Fault, ...]:
    """Give the faults of a value that does not fit the schema of its kind of file; `at` is the place of its top node."""
    found: dict[tuple[str, tuple[str | int, ...], str], _Found] = {}
    for error in validator(kind).iter_errors(instance):
        misfit = _misfit(error, at)
        for fault in _SAYERS[misfit.keyword](misfit):
            found.setdefault((fault.kind, fault.at.path, fault.name), (fault, _cures(misfit, fault)))
    return tuple(sorted(_one_a_cause(found.values()), key=_order))


@cache
def validator(kind: str) -> "Draft202012Validator":
    """Give jsonschema's validator for a kind of file."""
    from jsonschema import Draft202012Validator

    return Draft202012Validator(to_the_very_end(inlined(kind)))


def _order(fault: Fault) -> tuple[int, list[str]]:
    return fault.at.start, [str(step) for step in fault.at.path[:-1]]


def _misfit(error: "ValidationError", root: Place) -> _Misfit:
    at = root
    for step in error.absolute_path:
        at = at / step
    steps = list(error.absolute_schema_path)
    is_name = "propertyNames" in steps and steps.index("propertyNames") == len(steps) - 2
    name = str(error.instance) if is_name else _field(at)
    at = at.key(name) if is_name else at
    schema = error.schema if isinstance(error.schema, dict) else {}
    keyword, given = str(error.validator), error.validator_value
    return _Misfit(at, name, error.instance, cast(Schema, schema), keyword, given, is_name)


def _field(at: Place) -> str:
    return next((step for step in reversed(at.path) if isinstance(step, str)), "")


def _shown(instance: object) -> str:
    if isinstance(instance, dict):
        return "named fields"
    if isinstance(instance, bool):
        return str(instance).lower()
    return "a list" if isinstance(instance, list) else str(instance)


def _wrong(misfit: _Misfit) -> Iterator[Fault]:
    yield misfit.fault("wrong-shape")


def _wrong_type(misfit: _Misfit) -> Iterator[Fault]:
    if misfit.instance == "":
        yield from _empty(misfit)
    elif isinstance(misfit.instance, dict) and misfit.instance.keys() & _line_fields():
        yield Fault("missing-field", misfit.at / "do", "do", "", "what is done, such as turn O1 on")
    elif misfit.given == "boolean":
        yield misfit.fault("wrong-shape", suggestion=phrase.mended_truth(str(misfit.instance)))
    else:
        yield misfit.fault("wrong-shape")


def _empty(misfit: _Misfit) -> Iterator[Fault]:
    is_item = not misfit.at.path or isinstance(misfit.at.path[-1], int)
    yield misfit.fault("wrong-shape" if is_item or misfit.is_name else "missing-field")


def _wrong_text(misfit: _Misfit) -> Iterator[Fault]:
    text, pattern = str(misfit.instance), str(misfit.given)
    if text == "":
        yield from _empty(misfit)
    elif phrase.has_no_unit(text, pattern):
        yield misfit.fault("no-unit")
    elif text in _OUTCOMES and misfit.expected:
        yield misfit.fault("wrong-shape", expected=f"a name other than {phrase.listed(_OUTCOMES)}, which are outcomes")
    else:
        yield misfit.fault("wrong-shape", suggestion=phrase.mended(text, pattern))


def _unknown_word(misfit: _Misfit) -> Iterator[Fault]:
    words = [word for word in misfit.given if isinstance(word, str)]
    if misfit.instance == "":
        yield from _empty(misfit)
    elif not words or not isinstance(misfit.instance, str):
        yield misfit.fault("wrong-shape")
    else:
        near = phrase.nearest(misfit.instance, words)
        yield misfit.fault("not-in-vocabulary", expected=phrase.listed(words), suggestion=near)


def _unknown_fields(misfit: _Misfit) -> Iterator[Fault]:
    fields, known = cast(Mapping[str, object], misfit.instance), cast(Schema, misfit.schema["properties"])
    absent = [name for name in known if name not in fields]
    for name in fields:
        if name not in known:
            near = phrase.nearest(name, absent)
            yield Fault("unknown-field", misfit.at.key(name), name, name, phrase.listed(known), near)


def _missing_fields(misfit: _Misfit) -> Iterator[Fault]:
    for name in misfit.given:
        if name not in cast(Mapping[str, object], misfit.instance):
            yield _missing(misfit, name)


def _missing_beside(misfit: _Misfit) -> Iterator[Fault]:
    fields = cast(Mapping[str, object], misfit.instance)
    for name, needed in misfit.given.items():
        if name in fields:
            yield from (_missing(misfit, each) for each in needed if each not in fields)


def _missing_one_of(misfit: _Misfit) -> Iterator[Fault]:
    names = _choices(misfit)
    yield Fault("missing-field", misfit.at / names[0], names[0], "", phrase.listed(names))


def _choices(misfit: _Misfit) -> list[str]:
    return [name for choice in misfit.given for name in choice["required"]]


def _missing(misfit: _Misfit, name: str) -> Fault:
    parts = cast(dict[str, Schema], misfit.schema.get("properties", {}))
    is_ending = misfit.at.path[:1] == ("endings",) and name == "kind"
    expected = str(parts.get(name, {}).get("title", ""))
    return Fault("no-ending-kind" if is_ending else "missing-field", misfit.at / name, name, "", expected)


def _twice(misfit: _Misfit) -> Iterator[Fault]:
    items = cast(list[object], misfit.instance)
    for index, item in enumerate(items):
        if item in items[:index]:
            yield Fault("wrong-shape", misfit.at / index, misfit.name, _shown(item), "each only once")


_Say: TypeAlias = Callable[[_Misfit], Iterable[Fault]]
_SAYERS: Mapping[str, _Say] = {
    "type": _wrong_type,
    "pattern": _wrong_text,
    "minLength": _empty,
    "enum": _unknown_word,
    "additionalProperties": _unknown_fields,
    "required": _missing_fields,
    "dependentRequired": _missing_beside,
    "anyOf": _missing_one_of,
    "uniqueItems": _twice,
    "minimum": _wrong,
    "maximum": _wrong,
    "minItems": _wrong,
    "minProperties": _wrong,
    "maxProperties": _wrong,
    "not": _wrong,
}


@cache
def _line_fields() -> frozenset[str]:
    definitions = cast(dict[str, Any], as_written("steps")["$defs"])
    return frozenset(definitions["line-in-full"]["then"]["properties"])


_Found: TypeAlias = tuple[Fault, tuple[str, ...]]


def _cures(misfit: _Misfit, fault: Fault) -> tuple[str, ...]:
    """Give the names of which one would mend a missing field."""
    if fault.kind not in ("missing-field", "no-ending-kind"):
        return ()
    return tuple(_choices(misfit)) if misfit.keyword == "anyOf" else (fault.name,)


def _one_a_cause(found: Iterable[_Found]) -> Iterator[Fault]:
    """Leave out what is missing only because its name is misspelt, or because another field is missing too."""
    found = list(found)
    meant = {(fault.at.path[:-1], fault.suggestion) for fault, _ in found if fault.kind == "unknown-field"}
    needed = {(fault.at.path[:-1], cures[0]) for fault, cures in found if len(cures) == 1}
    for fault, cures in found:
        others = meant | needed if len(cures) > 1 else meant
        if not any((fault.at.path[:-1], name) in others for name in cures):
            yield fault
