"""From what a validator says of a value to faults at places, one for each cause."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from proclint.model import phrase
from proclint.model.fault import Fault
from proclint.model.schema import as_written, inlined, to_the_very_end
from proclint.source import Place

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import ValidationError

_OUTCOMES = ("done", "fails", "spent", "late", "otherwise")


class _Misfit(NamedTuple):
    """What one keyword says of one value.

    `name` is the field that it is about, or the name itself where names are what does not fit; `schema` the
    schema that the value does not fit and `given` what the keyword says in it.
    """

    at: Place
    name: str
    value: Any
    schema: Mapping[str, Any]
    keyword: str
    given: Any
    is_name: bool

    def fault(self, kind: str, *, expected: str = "", suggestion: str = "") -> Fault:
        return Fault(kind, self.at, self.name, _shown(self.value), expected or _title(self.schema), suggestion)


_Found: TypeAlias = tuple[Fault, tuple[str, ...]]


def misfits(at: Place, instance: object, kind: str, fitting: frozenset[str] = frozenset()) -> tuple[Fault, ...]:
    """Give the faults of a value, in file order; `at` is the place of the top node, `fitting` are fields that surely fit."""
    found: dict[tuple[str, tuple[str | int, ...], str], _Found] = {}
    for error in _errors(instance, kind, fitting):
        misfit = _misfit(error, at)
        for fault in _SAYERS[misfit.keyword](misfit):
            found.setdefault((fault.kind, fault.at.path, fault.name), (fault, _cures(misfit, fault)))
    return tuple(sorted(_one_a_cause(found.values()), key=_order))


@cache
def validator(kind: str) -> "Draft202012Validator":
    """Give jsonschema's validator for a kind of file."""
    from jsonschema import Draft202012Validator

    return Draft202012Validator(to_the_very_end(inlined(kind)))


def _errors(instance: object, kind: str, fitting: frozenset[str]) -> Iterator["ValidationError"]:
    whole = validator(kind)
    if not fitting:
        return whole.iter_errors(instance)
    schema: Any = whole.schema
    known = {name: True if name in fitting else each for name, each in schema["properties"].items()}
    return whole.evolve(schema={**schema, "properties": known}).iter_errors(instance)


def _misfit(error: "ValidationError", root: Place) -> _Misfit:
    at = root
    for step in error.absolute_path:
        at = at / step
    is_name = "propertyNames" in list(error.absolute_schema_path)[-2:-1]
    name = str(error.instance) if is_name else _field(at)
    at = at.key(name) if is_name else at
    schema = error.schema if isinstance(error.schema, Mapping) else {}
    return _Misfit(at, name, error.instance, schema, str(error.validator), error.validator_value, is_name)


def _field(at: Place) -> str:
    return next((step for step in reversed(at.path) if isinstance(step, str)), "")


def _title(schema: Mapping[str, Any]) -> str:
    return str(schema.get("title", ""))


def _shown(value: object) -> str:
    """Give a text as it stands; of named fields and lists there is nothing short to show."""
    return "" if isinstance(value, dict | list) else str(value)


def _wrong(misfit: _Misfit) -> Iterator[Fault]:
    yield misfit.fault("wrong-shape")


def _wrong_type(misfit: _Misfit) -> Iterator[Fault]:
    if misfit.value == "":
        yield _empty(misfit)
    elif isinstance(misfit.value, dict) and misfit.value.keys() & _line_fields():
        yield Fault("missing-field", misfit.at / "do", "do", "", "what is done, such as turn O1 on")
    elif misfit.given == "boolean":
        yield misfit.fault("wrong-shape", suggestion=phrase.mended_truth(_shown(misfit.value)))
    else:
        yield misfit.fault("wrong-shape")


@cache
def _line_fields() -> frozenset[str]:
    definitions: Any = as_written("steps")["$defs"]
    return frozenset(definitions["line-in-full"]["then"]["properties"])


def _empty(misfit: _Misfit) -> Fault:
    is_field = bool(misfit.at.path) and isinstance(misfit.at.path[-1], str) and not misfit.is_name
    return misfit.fault("missing-field" if is_field else "wrong-shape")


def _empty_text(misfit: _Misfit) -> Iterator[Fault]:
    yield _empty(misfit)


def _wrong_text(misfit: _Misfit) -> Iterator[Fault]:
    text, pattern = str(misfit.value), str(misfit.given)
    if text == "":
        yield _empty(misfit)
    elif phrase.has_no_unit(text, pattern):
        yield misfit.fault("no-unit")
    elif text in _OUTCOMES and _OUTCOMES[0] in pattern:
        reserved = f"a name other than {phrase.listed(_OUTCOMES)}, which are outcomes"
        yield misfit.fault("wrong-shape", expected=reserved)
    else:
        yield misfit.fault("wrong-shape", suggestion=phrase.mended(text, pattern))


def _unknown_word(misfit: _Misfit) -> Iterator[Fault]:
    words = [word for word in misfit.given if isinstance(word, str)]
    if misfit.value == "":
        yield _empty(misfit)
    elif not words or not isinstance(misfit.value, str):
        yield misfit.fault("wrong-shape")
    else:
        near = phrase.nearest(misfit.value, words)
        yield misfit.fault("not-in-vocabulary", expected=phrase.listed(words), suggestion=near)


def _unknown_fields(misfit: _Misfit) -> Iterator[Fault]:
    known = misfit.schema["properties"]
    absent = [name for name in known if name not in misfit.value]
    for name in misfit.value:
        if name not in known:
            near = phrase.nearest(name, absent)
            yield Fault("unknown-field", misfit.at.key(name), name, name, phrase.listed(known), near)


def _missing_fields(misfit: _Misfit) -> Iterator[Fault]:
    yield from (_missing(misfit, name) for name in misfit.given if name not in misfit.value)


def _missing_beside(misfit: _Misfit) -> Iterator[Fault]:
    needed = [name for field, names in misfit.given.items() if field in misfit.value for name in names]
    yield from (_missing(misfit, name) for name in needed if name not in misfit.value)


def _missing(misfit: _Misfit, name: str) -> Fault:
    is_ending = misfit.at.path[:1] == ("endings",) and name == "kind"
    expected = _title(misfit.schema["properties"][name])
    return Fault("no-ending-kind" if is_ending else "missing-field", misfit.at / name, name, "", expected)


def _missing_one_of(misfit: _Misfit) -> Iterator[Fault]:
    name, *others = _choices(misfit)
    expected = f"its value, or {phrase.listed(others)} in its place"
    yield Fault("missing-field", misfit.at / name, name, "", expected)


def _choices(misfit: _Misfit) -> tuple[str, ...]:
    return tuple(name for choice in misfit.given for name in choice["required"])


def _twice(misfit: _Misfit) -> Iterator[Fault]:
    for index, item in enumerate(misfit.value):
        if item in misfit.value[:index]:
            yield Fault("wrong-shape", misfit.at / index, misfit.name, _shown(item), "each only once")


_SAYERS: Mapping[str, Callable[[_Misfit], Iterator[Fault]]] = MappingProxyType(
    {
        "type": _wrong_type,
        "pattern": _wrong_text,
        "minLength": _empty_text,
        "enum": _unknown_word,
        "additionalProperties": _unknown_fields,
        "required": _missing_fields,
        "dependentRequired": _missing_beside,
        "anyOf": _missing_one_of,
        "uniqueItems": _twice,
        "not": _wrong,
        "minimum": _wrong,
        "maximum": _wrong,
        "minItems": _wrong,
        "minProperties": _wrong,
        "maxProperties": _wrong,
    }
)


def _cures(misfit: _Misfit, fault: Fault) -> tuple[str, ...]:
    """Give the names of which one would mend a missing field."""
    if fault.kind not in ("missing-field", "no-ending-kind"):
        return ()
    return _choices(misfit) if misfit.keyword == "anyOf" else (fault.name,)


def _one_a_cause(found: Iterable[_Found]) -> Iterator[Fault]:
    """Leave out what is missing because its name is misspelt, or because another missing field would do."""
    found = list(found)
    meant = {(fault.at.path[:-1], fault.suggestion) for fault, _ in found if fault.kind == "unknown-field"}
    needed = {(fault.at.path[:-1], cures[0]) for fault, cures in found if len(cures) == 1}
    for fault, cures in found:
        others = meant | needed if len(cures) > 1 else meant
        if not any((fault.at.path[:-1], name) in others for name in cures):
            yield fault


def _order(fault: Fault) -> tuple[int, list[str]]:
    return fault.at.start, [str(step) for step in fault.at.path[:-1]]
