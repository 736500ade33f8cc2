"""The schemas against the metaschema, two validators against each other and against the standard's cases.

Sources: JSON Schema draft 2020-12, its metaschema as the package `jsonschema-specifications` carries it; the
package `jsonschema-rs`, an implementation of its own; the JSON Schema Test Suite, which stands in the source
distribution of `jsonschema`.
"""

import json
import random
import subprocess
import sys
import tarfile
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any, TypeAlias

import jsonschema_rs
import pytest
from jsonschema import Draft202012Validator

from proclint.apps.publish import main
from proclint.catalogue import standard
from proclint.model.fitting import fit_of
from proclint.model.misfit import misfits, validator
from proclint.model.publish import bundled, published
from proclint.model.schema import KINDS, as_written, inlined, joined, to_the_very_end
from proclint.model.shape import typed
from proclint.model.verdict import fit_for, surely_fits
from proclint.source import Limits, Place, SourceText, decode, read_yaml

Value: TypeAlias = Any

ROOT = Path(__file__).parents[1]
SEED = 20261125
SUITE = "jsonschema==4.26.0"


def kind_of(path: Path) -> str:
    """Say of what kind a file of the library is."""
    if path.stem in KINDS:
        return path.stem
    return "block" if path.parent.name == "blocks" else "procedure"


def value_of(path: Path) -> Value:
    """Give what the schema is asked about for a file."""
    text = decode(path.name, path.read_bytes(), Limits())
    assert isinstance(text, SourceText)
    root = read_yaml(text, Limits()).root
    assert root is not None
    return typed(root)


FILES = [(kind_of(path), value_of(path)) for path in sorted((ROOT / "procedures").rglob("*.yaml"))]


@pytest.mark.parametrize("name", [*KINDS, "steps"])
def test_a_schema_is_one(name: str) -> None:
    """Each packaged schema is valid under the metaschema of draft 2020-12, as written and as used."""
    Draft202012Validator.check_schema(as_written(name))
    Draft202012Validator.check_schema(inlined(name))


@pytest.mark.parametrize(("name", "text"), sorted(published(standard()).items()))
def test_a_published_schema_is_one(name: str, text: str) -> None:
    """Each published schema is valid under the metaschema, and taken by the second implementation too."""
    Draft202012Validator.check_schema(json.loads(text))
    assert jsonschema_rs.meta.is_valid(json.loads(text)), name


def test_published_schemas_are_current(tmp_path: Path) -> None:
    """What is checked in under `schemas/` is what the format and the catalogue say today."""
    main(tmp_path)
    made = {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()}
    kept = {path.name: path.read_text(encoding="utf-8") for path in (ROOT / "schemas").iterdir()}
    assert made == kept, "Run `python -m proclint.apps.publish`."


def test_published_schemas_name_what_the_catalogue_has() -> None:
    """An editor is offered every verb, hazard and variable, and no short line is refused for its verb."""
    schema = json.loads(published(standard())["procedure.schema.json"])
    definitions, catalogue = schema["$defs"], standard()
    hazards = [each["const"] for each in definitions["hazard"]["anyOf"] if each is not True]
    assert hazards == list(catalogue.hazards)
    assert definitions["action-in-full"]["then"]["properties"].keys() == catalogue.actions.keys()
    assert definitions["states"]["properties"].keys() == catalogue.variables.keys()
    assert definitions["words-of-a-line"]["anyOf"][-1] is True


def test_a_reference_and_its_neighbours_say_different_things() -> None:
    """A keyword both in a reference's target and beside the reference is refused: one would be lost."""
    with pytest.raises(ValueError, match="both say type"):
        joined({"type": "string"}, {"type": "object"})


@pytest.mark.parametrize(("text", "fits"), [("m-07", True), ("m-07\n", False)])
def test_a_pattern_ends_where_the_text_ends(text: str, fits: bool) -> None:
    """A line feed at the end is part of the text, as in ECMA-262, sections on `RegExp` and `$`."""
    schema = to_the_very_end({"properties": {"by": {"type": "string", "pattern": "^m-[0-9]{2}$"}}})
    assert Draft202012Validator(schema).is_valid({"by": text}) is fits


def verdicts(kind: str, value: Value) -> dict[str, bool]:
    """Ask everybody whether a value fits its kind of file."""
    second = jsonschema_rs.Draft202012Validator(inlined(kind))
    return {
        "jsonschema": validator(kind).is_valid(value),
        "jsonschema, as bundled": Draft202012Validator(to_the_very_end(bundled(kind))).is_valid(value),
        "jsonschema-rs": second.is_valid(value),
        "our functions": fit_for(kind)(value),
        "our first look": surely_fits(value, kind),
        "no fault": misfits(Place.of_file("file.yaml"), value, kind) == (),
    }


def test_everybody_takes_the_library() -> None:
    """Every file of the library is valid under both implementations, and by our functions."""
    for kind, value in FILES:
        assert set(verdicts(kind, value).values()) == {True}


def test_a_second_implementation_that_fails_decides_nothing() -> None:
    """A value that jsonschema-rs cannot take (a name that is no text) is left to the slower look."""
    value = {1: "Ours"}
    with pytest.raises(ValueError, match="key must be str"):
        jsonschema_rs.Draft202012Validator(inlined("library")).is_valid(value)
    assert not surely_fits(value, "library")


ODD = [
    "",
    "30",
    "30 s",
    "done",
    "m-07",
    "O1",
    "a b",
    "a: b",
    "line\n",
    "é",
    "O.missing",
    0,
    3,
    99,
    True,
    False,
]
EMPTY: list[Value] = [[], {}, [""], {"do": "x"}, {"": ""}]


def containers(value: Value) -> Iterator[Value]:
    """Find every list and dict, however deep, that holds something."""
    parts = list(value.values()) if isinstance(value, dict) else value if isinstance(value, list) else []
    if parts:
        yield value
    for part in parts:
        yield from containers(part)


def twisted(text: str, chance: random.Random) -> str:
    """Give a text with its end gone, in capitals, or with a line feed."""
    return chance.choice([text[:-1], text.upper(), text + "\n"])


def mutant(value: Value, chance: random.Random) -> Value:
    """Give a copy with one thing changed: gone, renamed, doubled, or another value."""
    value = deepcopy(value)
    container = chance.choice(list(containers(value)))
    places = list(container) if isinstance(container, dict) else list(range(len(container)))
    place: Value = chance.choice(places)
    change = chance.randrange(6)
    if change == 0:
        del container[place]
    elif change == 1 and isinstance(container, dict):
        container[chance.choice([f"{place}s", place[1:], place.upper(), "then", "do"])] = container.pop(place)
    elif change == 2 and isinstance(container, list):
        container.append(deepcopy(container[place]))
    elif change == 3:
        container[place] = deepcopy(chance.choice(EMPTY))
    elif change == 4 and isinstance(container[place], str):
        container[place] = twisted(container[place], chance)
    else:
        container[place] = chance.choice(ODD)
    return value


def check_mutants(number: int) -> None:
    """Hold the verdicts on a number of mutants against each other."""
    chance = random.Random(SEED)
    refused = 0
    for _ in range(number):
        kind, value = chance.choice(FILES)
        changed = mutant(value, chance)
        said = verdicts(kind, changed)
        assert len(set(said.values())) == 1, (kind, said, changed)
        refused += not said["jsonschema"]
        for fault in misfits(Place.of_file("file.yaml"), changed, kind):
            assert fault.expected, fault
    assert refused > number // 3


def test_everybody_agrees_on_some_mutants() -> None:
    """On 100 changed files all verdicts are one, and a fault says what may stand there."""
    check_mutants(100)


@pytest.mark.long
def test_everybody_agrees_on_many_mutants() -> None:
    """The same on 1,000 and more."""
    check_mutants(3000)


def test_a_keyword_that_no_schema_has_is_refused() -> None:
    """What our functions do not know is never passed over as if it asked nothing, at the top or in a field."""
    with pytest.raises(KeyError, match="multipleOf"):
        fit_of({"multipleOf": 2})
    with pytest.raises(KeyError, match="multipleOf"):
        fit_of({"properties": {"tries": {"multipleOf": 2}}})({"tries": 3})


@pytest.fixture(scope="module")
def suite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the folder of the JSON Schema Test Suite's cases for draft 2020-12."""
    folder = tmp_path_factory.mktemp("suite")
    command = [
        sys.executable,
        "-m",
        "pip",
        "download",
        "--no-binary",
        ":all:",
        "--no-deps",
        "-d",
        str(folder),
        SUITE,
    ]
    if subprocess.run(command, capture_output=True, check=False).returncode != 0:
        pytest.skip(f"the source distribution of {SUITE} cannot be had: there is no package index here")
    with tarfile.open(next(folder.glob("*.tar.gz"))) as archive:
        archive.extractall(folder, filter="data")
    return next(folder.glob("*/json/tests/draft2020-12"))


def keywords(schema: Value) -> set[str]:
    """Give every name in a schema that may be a keyword."""
    if isinstance(schema, dict):
        return set(schema).union(*map(keywords, schema.values()))
    return set().union(*map(keywords, schema)) if isinstance(schema, list) else set()


def cases(folder: Path, keyword: str) -> Iterator[tuple[Value, Value, bool]]:
    """Read schema, value and verdict of each case of a keyword."""
    file = folder / f"{keyword.replace('if', 'if-then-else')}.json" if keyword == "if" else folder / f"{keyword}.json"
    for group in json.loads(file.read_text(encoding="utf-8")):
        for test in group["tests"]:
            yield group["schema"], test["data"], test["valid"]


def is_ours(schema: Value, value: Value) -> bool:
    """Whether our functions are meant for a case: no keywords and no values but those that our files have."""
    text = json.dumps([schema, value])
    is_whole = not any(isinstance(part, float) for part in leaves([schema, value]))
    others = (keywords(schema) & {*Draft202012Validator.VALIDATORS, "$id", "$defs", "$anchor"}) - {*USED, "then", "else"}
    return is_whole and not others and "null" not in text


def in_our_keywords(schema: Value) -> Value:
    """Give a schema with `const` as the `enum` of one that it is."""
    if isinstance(schema, list):
        return [in_our_keywords(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    named = {name: in_our_keywords(each) for name, each in schema.items() if name != "const"}
    return {**named, "enum": [schema["const"]]} if "const" in schema else named


def leaves(value: Value) -> Iterator[Value]:
    """Give everything in a value that holds nothing itself."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for part in value:
            yield from leaves(part)
    else:
        yield value


USED = sorted(
    {
        "type",
        "enum",
        "pattern",
        "minLength",
        "minimum",
        "maximum",
        "properties",
        "additionalProperties",
        "required",
    }
    | {
        "propertyNames",
        "minProperties",
        "maxProperties",
        "items",
        "minItems",
        "uniqueItems",
        "anyOf",
        "allOf",
        "not",
    }
    | {"if", "dependentRequired", "dependentSchemas"}
)


def test_the_keywords_in_use_are_listed() -> None:
    """The list of keywords to hold against the suite is that of the schemas."""
    every = set(Draft202012Validator.VALIDATORS) & set().union(*(keywords(inlined(kind)) for kind in KINDS))
    # A field of ours may be called like a keyword that no schema uses.
    assert sorted(every - {"format"}) == USED


@pytest.mark.long
@pytest.mark.parametrize("keyword", USED)
def test_the_suite_of_the_standard(keyword: str, suite: Path) -> None:
    """On the standard's own cases of a keyword, both implementations and our functions are right."""
    asked = 0
    for schema, value, valid in cases(suite, keyword):
        assert Draft202012Validator(schema).is_valid(value) is valid, (schema, value)
        assert jsonschema_rs.Draft202012Validator(schema).is_valid(value) is valid, (schema, value)
        ours = in_our_keywords(schema)
        if is_ours(ours, value):
            asked += 1
            assert fit_of(ours)(value) is valid, (schema, value)
    assert asked
