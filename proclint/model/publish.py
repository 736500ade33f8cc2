"""The schemas that editors read: the format's shape, whole in one file a kind, and the catalogue's names.

Names are offered and not enforced, since a library may add words of its own: whether a line is in the
vocabulary is said by the rules, with the place inside the line.
"""

import json
from copy import deepcopy
from typing import Any, TypeAlias

from proclint.catalogue import Action, Catalogue
from proclint.model.schema import KINDS, Schema, as_written, referred, with_parts

_Definitions: TypeAlias = dict[str, Any]
_ANYTHING = True


def published(catalogue: Catalogue) -> dict[str, str]:
    """Give the text of each published schema by its file name."""
    return {f"{kind}.schema.json": _text(_with_names(bundled(kind), catalogue)) for kind in KINDS}


def _text(schema: Schema) -> str:
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


def bundled(kind: str) -> Schema:
    """Give the schema of a kind of file with everything that it refers to under its own `$defs`."""
    definitions: _Definitions = {}
    own = {name: given for name, given in as_written(kind).items() if name != "$defs"}
    schema = _bundle(own, kind, definitions)
    return {**schema, "$defs": dict(sorted(definitions.items()))} if definitions else schema


def _bundle(schema: Schema, home: str, definitions: _Definitions) -> Schema:
    found = with_parts(schema, lambda part: _bundle(part, home, definitions))
    ref = schema.get("$ref")
    if isinstance(ref, str):
        name = ref.rpartition("/")[2]
        _define(name, referred(ref, home), definitions)
        found["$ref"] = f"#/$defs/{name}"
    return found


def _define(name: str, found: tuple[Schema, str], definitions: _Definitions) -> None:
    if name not in definitions:
        # Held at once, so that it keeps its place should two parts ask for it.
        definitions[name] = {}
        definitions[name].update(_bundle(*found, definitions))


def _with_names(schema: Schema, catalogue: Catalogue) -> Schema:
    schema = deepcopy(schema)
    definitions: Any = schema.get("$defs", {})
    if "states" in definitions:
        definitions["states"]["properties"] = _variables(catalogue)
    if "line" in definitions:
        _name_words(definitions, catalogue)
    return schema


def _name_words(definitions: _Definitions, catalogue: Catalogue) -> None:
    definitions["hazard"]["anyOf"] = _hazards(catalogue)
    definitions["action-in-full"]["then"]["properties"] = {
        verb: _in_full(action, catalogue) for verb, action in catalogue.actions.items()
    }
    definitions["words-of-a-line"] = {"anyOf": [*map(_short, catalogue.actions.values()), _ANYTHING]}
    for name in ("action", "actions", "line", "lines"):
        definitions[name]["anyOf"] = [{"$ref": "#/$defs/words-of-a-line"}]


def _variables(catalogue: Catalogue) -> _Definitions:
    return {name: _described(each.note, _words(each.values)) for name, each in catalogue.variables.items()}


def _hazards(catalogue: Catalogue) -> list[Any]:
    named = [{"const": name, "description": each.hazard} for name, each in catalogue.hazards.items()]
    return [*named, _ANYTHING]


def _short(action: Action) -> Schema:
    forms: Any = [str(pattern) for pattern in action.patterns]
    return _described(action.say, {"pattern": f"^{action.verb}( |$)", "examples": forms})


def _in_full(action: Action, catalogue: Catalogue) -> Schema:
    words: Any = {name: _words(catalogue.kinds[each.kind].words) for name, each in action.parameters.items()}
    return _described(action.say, {"properties": words})


def _words(words: tuple[str, ...]) -> Schema:
    return {"anyOf": [{"enum": list(words)}, _ANYTHING]} if words else {}


def _described(text: str, schema: Schema) -> Schema:
    return {"description": text, **schema} if text else schema
