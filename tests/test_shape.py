"""A file that does not fit gets one fault for each cause, at its place, with what may stand there."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from proclint.catalogue import read_duration
from proclint.model import Fault
from proclint.model.schema import KINDS, as_written, inlined, referred
from proclint.model.shape import BOOLEANS, INTEGERS, MAPPINGS_OF_INTEGERS, shape_faults
from proclint.source import Limits, SourceText, decode, read_yaml

Value: TypeAlias = Any

LIBRARY = Path(__file__).parents[1] / "procedures"

PROCEDURE = """\
format: 1
id: brindlow-fenn-add-key
title: Add one key
task: add-key
method: tool
takes: 10-15-30 min
version: 2
stage: draft
written: {by: m-07, date: 2026-03-01}
sources: [fenn-bench-log]
vehicles:
  - {make: Brindlow, model: Fenn, years: 2009-2014, markets: [region-1],
     ignition-kind: keyed, gearbox: [manual]}
keys:
  O: {kind: key, registered: true, here: 1-4, frequency: {region-1: 315 MHz}}
slots: {key: 5}
start: {ignition: off}
cautions:
  sharp: {signal: caution, hazard: A sharp edge., consequence: It cuts., avoid: Wear gloves.}
windows:
  press: {at-most: 12 s, late: stop}
steps:
  right: {follow: authority 3, fails: no-right}
  ready:
    caution: [vehicle-rolls]
    do: [insert O1, turn O1 on, {do: open-session, expect: the menu opens, within: 30 s}]
    fails: again
  choose:
    prompt: {says: "ADD? Y/N", choices: {Y: add, N: nothing}, answer: Y}
    then: ask
  ask: {ask: Is there another?, ways: {"yes": ready, "no": each}}
  each: {for-each: {X: O}, do: [{test-functions: {key: X}}]}
fallbacks:
  again: {tries: 1, do: wait 30-40 s, ways: {done: ready, spent: no-right}}
endings:
  all-work: {kind: success, through: close-out 2, tell: All keys work.}
  no-right: {kind: as-found, tell: Nothing was touched.}
"""

BLOCK = """\
block: lamp
version: 1
title: Wait for the lamp
given: {K: key, pause: {is: duration, from: rearm}}
before: {ignition: off}
exits: [lit, dark]
steps:
  look: {do: look immobiliser-lamp, ways: {solid: lit, otherwise: dark}}
"""

SOURCES = """\
sources:
  - {id: log-1, kind: hearsay, title: Log 1, date: 2024-02-03, covers: {make: Brindlow}, observers: [m-01]}
"""


def found(text: str, kind: str) -> tuple[Fault, ...]:
    """Give the faults of a text."""
    document = read_yaml(SourceText("file.yaml", text), Limits())
    assert document.troubles == ()
    return shape_faults(document, kind)


def told(text: str, kind: str) -> list[tuple[str, str, str, str]]:
    """Give kind, path, name and suggestion of each fault of a text."""
    return [(each.kind, "/".join(map(str, each.at.path)), each.name, each.suggestion) for each in found(text, kind)]


def changed(text: str, old: str, new: str) -> str:
    """Give a text with its one place that reads `old` changed."""
    assert text.count(old) == 1, old
    return text.replace(old, new)


# In a procedure: what is replaced, by what, and the kind, path, name and suggestion of each fault.
IN_A_PROCEDURE = [
    ("task: add-key", "tsak: add-key", [("unknown-field", "tsak", "tsak", "task")]),
    (
        "task: add-key",
        "colour: red",
        [
            ("missing-field", "task", "task", ""),
            ("unknown-field", "colour", "colour", ""),
        ],
    ),
    ("title: Add one key\n", "", [("missing-field", "title", "title", "")]),
    ("title: Add one key", "title:", [("missing-field", "title", "title", "")]),
    ("title: Add one key", "title: [a, b]", [("wrong-shape", "title", "title", "")]),
    ("format: 1", "format: 2", [("wrong-shape", "format", "format", "")]),
    ("version: 2", "version: 1.10", [("wrong-shape", "version", "version", "")]),
    ("version: 2", "version: 02", [("wrong-shape", "version", "version", "")]),
    ("version: 2", "version: 0", [("wrong-shape", "version", "version", "")]),
    ("method: tool", "method: tol", [("not-in-vocabulary", "method", "method", "tool")]),
    ("method: tool", "method: {by: tool}", [("wrong-shape", "method", "method", "")]),
    ("takes: 10-15-30 min", "takes: 10-15-30", [("no-unit", "takes", "takes", "")]),
    ("takes: 10-15-30 min", "takes: 10 to 30 minutes", [("wrong-shape", "takes", "takes", "10-30 min")]),
    ("by: m-07", "by: m7", [("wrong-shape", "written/by", "by", "m-07")]),
    ("by: m-07", "by: Anna", [("wrong-shape", "written/by", "by", "")]),
    ("date: 2026-03-01", "date: 2026/3/1", [("wrong-shape", "written/date", "date", "2026-03-01")]),
    ("date: 2026-03-01", "date: 2026-13-01", [("wrong-shape", "written/date", "date", "")]),
    ("[fenn-bench-log]", "[fenn-bench-log, fenn-bench-log]", [("wrong-shape", "sources/1", "sources", "")]),
    ("vehicles:\n", "vehicle:\n", [("unknown-field", "vehicle", "vehicle", "vehicles")]),
    ("years: 2009-2014", "years: 2009 - 2014", [("wrong-shape", "vehicles/0/years", "years", "2009-2014")]),
    ("years: 2009-2014", "years: 1950", [("wrong-shape", "vehicles/0/years", "years", "")]),
    ("ignition-kind: keyed, ", "", [("missing-field", "vehicles/0/ignition-kind", "ignition-kind", "")]),
    (
        "gearbox: [manual]",
        "gearbox: [manul]",
        [("not-in-vocabulary", "vehicles/0/gearbox/0", "gearbox", "manual")],
    ),
    ("registered: true", "registered: yes", [("wrong-shape", "keys/O/registered", "registered", "true")]),
    ("here: 1-4", "here: 20", [("wrong-shape", "keys/O/here", "here", "")]),
    ("315 MHz", "315", [("no-unit", "keys/O/frequency/region-1", "region-1", "")]),
    ("  O: {kind", "  old: {kind", [("wrong-shape", "keys/old", "old", "")]),
    ("slots: {key: 5}", "slots: {keys: 5}", [("not-in-vocabulary", "slots/keys", "keys", "key")]),
    ("slots: {key: 5}", "slots: {key: five}", [("wrong-shape", "slots/key", "key", "")]),
    (
        "signal: caution",
        "signal: danger!",
        [("not-in-vocabulary", "cautions/sharp/signal", "signal", "danger")],
    ),
    ("at-most: 12 s", "at-most: 12", [("no-unit", "windows/press/at-most", "at-most", "")]),
    ("at-most: 12 s, ", "", [("missing-field", "windows/press/at-most", "at-most", "")]),
    ("at-most: 12 s", "atmost: 12 s", [("unknown-field", "windows/press/atmost", "atmost", "at-most")]),
    ("{at-most: 12 s, late: stop}", "12", [("no-unit", "windows/press", "press", "")]),
    ("authority 3", "authority@3", [("wrong-shape", "steps/right/follow", "follow", "authority 3")]),
    ("authority 3", "authority", []),
    (
        "{follow: authority 3",
        "{follow: authority 3, do: open-log",
        [("wrong-shape", "steps/right/do", "do", "")],
    ),
    ("{follow: authority 3, fails: no-right}", "open-log", [("wrong-shape", "steps/right", "right", "")]),
    ("  ready:\n", "  Make ready:\n", [("wrong-shape", "steps/Make ready", "Make ready", "make-ready")]),
    ("  ready:\n", "  done:\n", [("wrong-shape", "steps/done", "done", "")]),
    ("caution: [vehicle-rolls]", "caution: []", [("wrong-shape", "steps/ready/caution", "caution", "")]),
    ("within: 30 s", "within: 30", [("no-unit", "steps/ready/do/2/within", "within", "")]),
    ("within: 30 s", "within: 30sec", [("wrong-shape", "steps/ready/do/2/within", "within", "30 s")]),
    ("within: 30 s", "wihtin: 30 s", [("unknown-field", "steps/ready/do/2/wihtin", "wihtin", "within")]),
    ("{do: open-session, ", "{", [("missing-field", "steps/ready/do/2/do", "do", "")]),
    ("insert O1,", "insert O1: now,", [("wrong-shape", "steps/ready/do/0", "do", "")]),
    ("insert O1,", "'',", [("wrong-shape", "steps/ready/do/0", "do", "")]),
    ("    fails: again", "    fials: again", [("unknown-field", "steps/ready/fials", "fials", "fails")]),
    ("Y: add,", "Y: ad,", [("not-in-vocabulary", "steps/choose/prompt/choices/Y", "Y", "add")]),
    (
        "choices: {Y: add, N: nothing}, ",
        "",
        [("missing-field", "steps/choose/prompt/choices", "choices", "")],
    ),
    (
        "then: ask",
        "then: ask\n    ways: {done: ask}",
        [("wrong-shape", "steps/choose/ways/done", "done", "")],
    ),
    (', ways: {"yes": ready, "no": each}', "", [("missing-field", "steps/ask/ways", "ways", "")]),
    ("for-each: {X: O}", "for-each: O", [("wrong-shape", "steps/each/for-each", "for-each", "")]),
    ("for-each: {X: O}", "for-each: {X: O, Y: O}", [("wrong-shape", "steps/each/for-each", "for-each", "")]),
    ("for-each: {X: O}", "for-each: {x: O}", [("wrong-shape", "steps/each/for-each/x", "x", "X")]),
    (
        "for-each: {X: O}, do: [{test-functions: {key: X}}]",
        "instruction: Look.",
        [
            ("missing-field", "steps/each/do", "do", ""),
        ],
    ),
    ("tries: 1", "tries: 11", [("wrong-shape", "fallbacks/again/tries", "tries", "")]),
    (", ways: {done: ready, spent: no-right}", "", [("missing-field", "fallbacks/again/then", "then", "")]),
    (
        "do: wait 30-40 s, ways: {done: ready, spent: no-right}",
        "ask: Well?",
        [
            ("missing-field", "fallbacks/again/ways", "ways", ""),
        ],
    ),
    ("kind: success, ", "", [("no-ending-kind", "endings/all-work/kind", "kind", "")]),
    ("kind: success", "knd: success", [("unknown-field", "endings/all-work/knd", "knd", "kind")]),
    ("kind: success", "kind: sucess", [("not-in-vocabulary", "endings/all-work/kind", "kind", "success")]),
    ("kind: success", "kind: ''", [("missing-field", "endings/all-work/kind", "kind", "")]),
]


@pytest.mark.parametrize(("old", "new", "faults"), IN_A_PROCEDURE)
def test_a_procedure_with_one_mistake(old: str, new: str, faults: list[tuple[str, str, str, str]]) -> None:
    """One mistake in a procedure gives the faults in the table, and nothing besides."""
    assert told(changed(PROCEDURE, old, new), "procedure") == faults


OF_OTHER_KINDS = [
    (BLOCK, "block", "exits: [lit, dark]\n", "", [("missing-field", "exits", "exits", "")]),
    (BLOCK, "block", "[lit, dark]", "[Lit, dark]", [("wrong-shape", "exits/0", "exits", "lit")]),
    (BLOCK, "block", "K: key", "K: kee", [("not-in-vocabulary", "given/K", "K", "key")]),
    (BLOCK, "block", "K: key", "K1: key", [("wrong-shape", "given/K1", "K1", "")]),
    (BLOCK, "block", "from: rearm", "form: rearm", [("unknown-field", "given/pause/form", "form", "from")]),
    (
        SOURCES,
        "sources",
        "kind: hearsay",
        "kind: heresay",
        [
            ("not-in-vocabulary", "sources/0/kind", "kind", "hearsay"),
        ],
    ),
    (SOURCES, "sources", "[m-01]", "[m 1]", [("wrong-shape", "sources/0/observers/0", "observers", "m-01")]),
    (SOURCES, "sources", "{make: Brindlow}", "Brindlow", [("wrong-shape", "sources/0/covers", "covers", "")]),
    (
        "name: Ours\nlevels: {left-open: off}\n",
        "library",
        "off",
        "of",
        [
            ("not-in-vocabulary", "levels/left-open", "left-open", "off"),
        ],
    ),
    (
        "name: Ours\nlimits: {states: 10}\n",
        "library",
        "10",
        "many",
        [("wrong-shape", "limits/states", "states", "")],
    ),
    (
        "- {rule: left-open, in: lamp}\n",
        "accepted",
        "rule",
        "rul",
        [("unknown-field", "0/rul", "rul", "rule")],
    ),
    ("- {rule: left-open, in: lamp}\n", "accepted", "- {", "a: {", [("wrong-shape", "", "", "")]),
]


@pytest.mark.parametrize(("text", "kind", "old", "new", "faults"), OF_OTHER_KINDS)
def test_another_file_with_one_mistake(text: str, kind: str, old: str, new: str, faults: list[tuple[str, str, str, str]]) -> None:
    """One mistake in a block, register, settings or list of acceptances gives the faults in the table."""
    assert found(text, kind) == ()
    assert told(changed(text, old, new), kind) == faults


def test_what_fits_has_no_fault() -> None:
    """The files that the tables change are sound as they stand."""
    assert (found(PROCEDURE, "procedure"), found(BLOCK, "block"), found(SOURCES, "sources")) == ((), (), ())


def test_a_fault_says_what_may_stand_there() -> None:
    """A word outside a list comes with the list; what stands there, and the place, are those of the value."""
    (fault,) = found(changed(PROCEDURE, "method: tool", "method: tol"), "procedure")
    start = PROCEDURE.index("tool")
    assert ("tol", "tool or on-board", start) == (fault.found, fault.expected, fault.at.start)


def test_one_of_several_is_missing() -> None:
    """Where one of several fields would do, the first is named and the others stand beside it."""
    (fault,) = found(changed(PROCEDURE, "at-most: 12 s, ", ""), "procedure")
    assert ("at-most", "its value, or at-least in its place") == (fault.name, fault.expected)


def test_an_outcome_is_no_name() -> None:
    """A step named after an outcome is told that this is why."""
    (fault,) = found(changed(PROCEDURE, "  ready:\n", "  spent:\n"), "procedure")
    assert fault.expected == "a name other than done, fails, spent, late or otherwise, which are outcomes"


def test_faults_stand_in_file_order() -> None:
    """Several mistakes are told from the top of the file down."""
    text = changed(changed(PROCEDURE, "kind: success, ", ""), "method: tool", "method: tol")
    starts = [fault.at.start for fault in found(text, "procedure")]
    assert len(starts) == 2
    assert starts == sorted(starts)


def test_a_file_that_is_unreadable_has_no_shape() -> None:
    """What could not be read is a trouble, and no fault besides."""
    document = read_yaml(SourceText("file.yaml", "{"), Limits())
    assert shape_faults(document, "procedure") == ()


def kind_of(path: Path) -> str:
    """Say of what kind a file of the library is."""
    if path.stem in KINDS:
        return path.stem
    return "block" if path.parent.name == "blocks" else "procedure"


FILES = sorted(LIBRARY.rglob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(LIBRARY).as_posix())
def test_the_library_fits(path: Path) -> None:
    """Every file of the library has the shape of its kind."""
    text = decode(path.name, path.read_bytes(), Limits())
    assert isinstance(text, SourceText)
    assert shape_faults(read_yaml(text, Limits()), kind_of(path)) == ()


def fields_in(schema: Value) -> Iterator[tuple[str, Value]]:
    """Find the name and schema of every field, however deep."""
    if isinstance(schema, dict):
        properties = schema.get("properties", {})
        yield from properties.items()
        for part in (
            *properties.values(),
            *(value for name, value in schema.items() if name != "properties"),
        ):
            yield from fields_in(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from fields_in(part)


def types_of(schema: Value) -> set[str]:
    """Give the types that a schema allows; a number or any text counts as text."""
    types = schema.get("type", [])
    listed = {types} if isinstance(types, str) else set(types)
    return listed - {"integer"} if "string" in listed and "pattern" not in schema else listed


def test_typed_fields_are_those_of_the_schemas() -> None:
    """The fields whose text becomes a number or a boolean are those that the schemas say."""
    fields = [field for kind in KINDS for field in fields_in(inlined(kind))]
    assert {name for name, part in fields if "integer" in types_of(part)} == INTEGERS
    assert {name for name, part in fields if "boolean" in types_of(part)} == BOOLEANS
    numbered = {
        name
        for name, part in fields
        if part.get("additionalProperties", {}) is not False and "integer" in types_of(part.get("additionalProperties", {}))
    }
    assert numbered == MAPPINGS_OF_INTEGERS


def described(schema: Value, home: str) -> bool:
    """Whether a field's schema, or the one that it refers to, has a description."""
    if "description" in schema or "$ref" not in schema:
        return "description" in schema
    return described(*referred(schema["$ref"], home))


@pytest.mark.parametrize("kind", [*KINDS, "steps"])
def test_every_field_is_described(kind: str) -> None:
    """An editor has a sentence to show for every field that may be written."""
    # A schema that only says what may not stand beside another field describes none.
    fields = [(name, part) for name, part in fields_in(as_written(kind)) if not {"title", "not", "properties"} >= part.keys()]
    assert fields
    assert [name for name, part in fields if not described(part, kind)] == []


TIMES = [
    "30 s",
    "0.5 s",
    "4-6 s",
    "0.5-1-2 s",
    "1 min",
    "2 h",
    "1 d",
    "30",
    "s",
    "1-2-3-4 s",
    "30s",
    "1,5 s",
    "3 m",
]


@pytest.mark.parametrize("text", TIMES)
def test_times_are_those_of_the_catalogue(text: str) -> None:
    """What the schema takes for a time is what the catalogue reads as one."""
    definitions: Value = as_written("steps")["$defs"]
    is_time = re.search(definitions["duration"]["pattern"], text) is not None
    assert is_time == (read_duration(text) is not None)
