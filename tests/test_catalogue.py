"""The trade as data: each file fits its schema, and the topics agree with one another."""

import json
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import jsonschema_rs
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from proclint.catalogue import (
    Catalogue,
    CatalogueProblem,
    Duration,
    MakeSure,
    MatchedLine,
    extended,
    forms,
    read_duration,
    reading,
    standard,
)
from proclint.catalogue.contradictions import contradictions
from proclint.catalogue.entries import EACH_VALUE
from proclint.catalogue.packaged import FOLDER, Tree, packaged
from proclint.catalogue.row import Row

TOPICS = ("variables", "actions", "make-sure", "hazards", "demands", "attributes", "relations", "words", "speech", "units")


def schema_of(topic: str) -> dict[str, object]:
    """Read the schema of a topic."""
    loaded: dict[str, object] = json.loads((FOLDER / "schemas" / f"{topic}.schema.json").read_text("utf-8"))
    return loaded


def test_every_file_has_a_schema_and_every_schema_a_file() -> None:
    """No topic of the catalogue goes unchecked."""
    assert sorted(TOPICS) == sorted(path.stem for path in FOLDER.glob("*.yaml"))
    assert sorted(TOPICS) == sorted(path.name.split(".")[0] for path in (FOLDER / "schemas").iterdir())


@pytest.mark.parametrize("topic", TOPICS)
def test_schemas_are_json_schema(topic: str) -> None:
    """Each schema is valid against the metaschema of JSON Schema, draft 2020-12."""
    Draft202012Validator.check_schema(schema_of(topic))
    jsonschema_rs.meta.validate(schema_of(topic))


@pytest.mark.parametrize("topic", TOPICS)
def test_files_fit_their_schemas(topic: str) -> None:
    """Each file is valid by two validators that share no code."""
    assert [] == [error.message for error in Draft202012Validator(schema_of(topic)).iter_errors(packaged(topic))]
    assert jsonschema_rs.is_valid(schema_of(topic), packaged(topic))


def properties(schema: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Find every property of a schema, but not those of a condition."""
    if isinstance(schema, dict):
        for name, value in schema.items():
            if name == "properties" and not path.endswith(("/if", "/additionalProperties")):
                yield from ((f"{path}/{each}", inner) for each, inner in value.items())
            yield from properties(value, f"{path}/{name}")


@pytest.mark.parametrize("topic", TOPICS)
def test_every_property_is_described(topic: str) -> None:
    """A maintainer who edits a file is told what each field means."""
    found = list(properties(schema_of(topic)))
    assert found
    assert [] == [path for path, inner in found if not (isinstance(inner, dict) and inner.get("description"))]


SPOILT = [
    ("variables", ["variables", "hood", "values"], ["open", "open"]),
    ("variables", ["variables", "hood", "values"], ["open", "unknown"]),
    ("variables", ["variables", "hood", "observed-by"], "somebody"),
    ("actions", ["actions", "turn", "takes"], "1-2 s"),
    ("actions", ["actions", "turn", "takes"], "0.5-1-2 sec"),
    ("actions", ["actions", "learn", "writes"], "perhaps"),
    ("actions", ["actions", "look", "answers"], "each value"),
    ("actions", ["kinds-of-parameter", "key", "matches"], "[A-Z"),
    ("make-sure", ["make-sure", "0", "reach"], "ignition off"),
    ("hazards", ["hazards", "pinch", "avoid"], "Keep clear"),
    ("hazards", ["hazards", "pinch", "placing"], "nearby"),
    ("attributes", ["attributes", "rearm", "range"], "5"),
    ("attributes", ["attributes", "code", "words"], []),
    ("words", ["ambiguous", "hold", "readings"], ["keep it pressed"]),
    ("units", ["units", "s", "milliseconds"], "0"),
]


@pytest.mark.parametrize(("topic", "path", "value"), SPOILT, ids=lambda part: str(part)[:40])
def test_schemas_refuse_what_does_not_fit(topic: str, path: list[str], value: Tree) -> None:
    """One wrong value makes a file invalid, by both validators."""
    text = (FOLDER / f"{topic}.yaml").read_text("utf-8")
    spoilt = yaml.load(text, Loader=yaml.BaseLoader)
    at = spoilt
    for step in path[:-1]:
        at = at[int(step)] if isinstance(at, list) else at[step]
    assert value != at[path[-1]]
    at[path[-1]] = value
    checker = Draft202012Validator.FORMAT_CHECKER
    assert list(Draft202012Validator(schema_of(topic), format_checker=checker).iter_errors(spoilt))
    assert not jsonschema_rs.Draft202012Validator(schema_of(topic), validate_formats=True).is_valid(spoilt)


def test_topics_agree() -> None:
    """Every name that one topic uses stands in the other, and no line fits two forms of its verb."""
    assert [] == [str(problem) for problem in contradictions(standard())]


def with_make_sure(row: MakeSure) -> Catalogue:
    """Give the standard catalogue with only one way to reach anything."""
    catalogue = Catalogue()
    vars(catalogue)["make_sure"] = (row,)
    return catalogue


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (MakeSure("hood", "ajar", "", ("open-hood",)), "'hood' has no value 'ajar'."),
        (MakeSure("bonnet", "open", "", ("open-hood",)), "'bonnet' has no value 'open'."),
        (MakeSure("hood", "open", "", ("open-hood now",)), "'open-hood now' is no line of an action."),
        (
            MakeSure("hood", "open", "bonnet = open", ("open-hood",)),
            "'bonnet = open' does not begin with a variable.",
        ),
    ],
)
def test_make_sure_rows_are_looked_at(row: MakeSure, message: str) -> None:
    """A row of make-sure that reaches nothing, or by no line, is found."""
    assert any(problem.message.startswith(message) for problem in contradictions(with_make_sure(row)))


# ANSI Z535.6-2011 uses the words of ANSI Z535.4-2007, 4.14.1 to 4.14.4. That a minor injury that will come is
# CAUTION too is the decision scheme of Z535.4, annex E: from memory.
SIGNAL_WORDS = {
    ("death-or-serious-injury", "will"): "DANGER",
    ("death-or-serious-injury", "could"): "WARNING",
    ("minor-or-moderate-injury", "will"): "CAUTION",
    ("minor-or-moderate-injury", "could"): "CAUTION",
    ("no-injury", "will"): "NOTICE",
    ("no-injury", "could"): "NOTICE",
}


def test_signal_words_follow_the_standard() -> None:
    """DANGER will, WARNING could kill or hurt badly; CAUTION hurts a little; NOTICE hurts nobody."""
    assert SIGNAL_WORDS == standard().signal_words


def test_every_hazard_has_the_word_of_its_severity() -> None:
    """A hazard's signal word is that of the standard, and never one of its own."""
    for hazard in standard().hazards.values():
        assert SIGNAL_WORDS[hazard.severity, hazard.likelihood] == hazard.signal, hazard.name


# ANSI Z535.4-2007, 4.14.4: NOTICE is for practices that are not related to personal injury.
def test_signal_words_fit_what_is_harmed() -> None:
    """A hazard to life or limb is never a mere NOTICE, and one to things or time is nothing more."""
    for hazard in standard().hazards.values():
        assert (hazard.harm in ("life", "injury")) == (hazard.signal != "NOTICE"), hazard.name


def test_danger_is_rare() -> None:
    """DANGER stands only for the most extreme cases (ANSI Z535.4-2007, 4.14.1)."""
    dangers = [hazard.name for hazard in standard().hazards.values() if hazard.signal == "DANGER"]
    assert ["engine-run-enclosed", "hv-contact"] == dangers


def test_cautions_have_three_parts() -> None:
    """What is dangerous, what comes of it and what to do stand apart, in whole sentences (common practice)."""
    for hazard in standard().hazards.values():
        parts = (hazard.hazard, hazard.consequence, hazard.avoid)
        assert 3 == len(set(parts)), hazard.name
        assert all(part[0].isupper() and part.endswith(".") for part in parts), hazard.name


def test_every_fact_that_is_named_exists() -> None:
    """The conditions name facts, and each is a column that a table may have."""
    named = {
        "airbag-wait", "code", "code-tries-to-lockout", "drops-remotes-on-add", "learn-pre", "one-time-part",
        "security-wait", "security-wait-count", "session-survives-off", "together", "valet-counts-in-key-cap",
        "wait-resets-on", "rearm",
    }  # fmt: skip
    assert named <= set(standard().attributes)


def test_columns_that_narrow_are_the_formats_own() -> None:
    """Ten columns say of which vehicles a row speaks, and no other."""
    narrowing = [attribute.name for attribute in standard().attributes.values() if attribute.narrows]
    boxes = ["make", "model", "years", "build", "markets"]
    expected = [*boxes, "ignition-kind", "gearbox", "high-voltage", "variant", "method"]
    assert expected == narrowing


def test_attributes_use_the_words_of_the_variables() -> None:
    """Where a column and a variable bear one name they have the same words."""
    shared = set(standard().attributes) & set(standard().variables)
    assert {"ignition-kind", "gearbox", "high-voltage", "variant", "method"} <= shared
    for name in ("ignition-kind", "gearbox", "high-voltage", "variant", "method"):
        assert standard().variables[name].values == standard().attributes[name].words


def test_no_attribute_ends_in_a_unit() -> None:
    """A unit stands in its own field and not in the name."""
    ends = {name.rpartition("-")[2] for name in standard().attributes}
    assert not ends & {"s", "min", "h", "d", "v", "volts", "a", "amps", "m", "mhz", "seconds", "minutes"}


def test_phrases_are_found_once() -> None:
    """No phrase has two entries, and each says what to write instead."""
    phrases = [phrase for word in standard().words.values() for phrase in word.phrases]
    assert len(phrases) == len(set(phrases)) > 60
    assert all(word.write for word in standard().words.values())
    assert {"hold", "cycle-the-key", "a-few"} <= set(standard().words)
    assert standard().words["a-few"].vague
    assert not standard().words["hold"].vague


def test_actions_are_read_whole() -> None:
    """An action carries all that its row says, with the defaults of the format."""
    turn, learn, look = (standard().actions[verb] for verb in ("turn", "learn", "look"))
    assert Duration(500, 1000, 2000) == turn.takes
    assert ("technician", "technician", None, False) == (
        turn.actor,
        turn.paced_by,
        turn.may_fail,
        turn.writes,
    )
    assert ("steering-lock = engaged",) == turn.failure_makes
    assert ("equipment", "may-have-happened", True) == (learn.actor, learn.on_failure, learn.writes)
    assert "{key}.kind" == learn.parameters["kind"].default
    assert "fact.learn-pre" in learn.needs
    assert (EACH_VALUE,) == look.answers
    assert ("runs", "stalls", "does not start") == standard().actions["start"].answers
    assert "engine = stopped" in standard().actions["start"].answer_makes["stalls"]
    assert "for" == standard().actions["wait"].takes
    assert "make-sure" == standard().actions["make-sure"].takes


def test_who_does_it_decides_whether_it_can_fail() -> None:
    """What a technician does takes effect, what equipment or vehicle do may fail; a row can say otherwise."""
    actions = standard().actions
    assert not actions["turn"].may_fail_by("technician")
    assert actions["turn"].may_fail_by("equipment")
    assert actions["learn"].may_fail_by("vehicle")
    assert not actions["close-session"].may_fail_by("equipment")
    assert actions["check-id"].may_fail_by("technician")


def test_counts_have_bounds_and_no_words() -> None:
    """A variable is either words or a count."""
    for variable in standard().variables.values():
        assert bool(variable.values) != (variable.numbers is not None), variable.name
    assert (0, 16) == standard().variables["used"].numbers
    assert standard().variables["cylinder"].or_key
    assert ("door-driver", "door-passenger", "doors-other") == standard().variables["doors"].stands_for


def test_topics_are_read_only() -> None:
    """Nobody changes the shared catalogue by accident."""
    for topic in (standard().variables, standard().actions, standard().hazards, standard().attributes):
        with pytest.raises(TypeError):
            topic["new"] = None  # type: ignore[index]


def test_the_reader_in_python_gives_the_same() -> None:
    """Where PyYAML has no part in C, the catalogue is the same."""
    for path in FOLDER.glob("*.yaml"):
        assert packaged(path.stem) == yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)


# Units accepted beside the SI: BIPM, SI Brochure, 9th edition, table 8 (min = 60 s, h = 60 min, d = 24 h).
FACTORS = {"s": 1, "min": 60, "h": 60 * 60, "d": 24 * 60 * 60}


def test_units_of_time_are_those_of_the_si_brochure() -> None:
    """A minute has 60 seconds, an hour 60 minutes, a day 24 hours."""
    times = {unit.symbol: unit.milliseconds for unit in standard().units.values() if unit.quantity == "time"}
    assert {symbol: factor * 1000 for symbol, factor in FACTORS.items()} == times
    assert {"V", "A", "MHz", "m"} <= set(standard().units)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("15 s", Duration(15_000, 15_000, 15_000)),
        ("20-70 s", Duration(20_000, None, 70_000)),
        ("0.5-1-2 s", Duration(500, 1_000, 2_000)),
        ("10-30-90 min", Duration(600_000, 1_800_000, 5_400_000)),
        ("0.7 s", Duration(700, 700, 700)),
        ("1.5 h", Duration(5_400_000, 5_400_000, 5_400_000)),
        ("2 d", Duration(172_800_000, 172_800_000, 172_800_000)),
        ("0 s", Duration(0, 0, 0)),
    ],
)
def test_durations_are_read_exactly(text: str, expected: Duration) -> None:
    """A duration is whole milliseconds, least, usual and most."""
    assert expected == read_duration(text) == standard().duration(text)


@pytest.mark.parametrize(
    "text",
    [
        "", "s", "15", "15s", "15  s", " 15 s", "15 s ", "15 sec", "15 S", "15 V", "15 m", "-1 s", "1- s",
        "2-1 s", "1-3-2 s", ".5 s", "5. s", "1,5 s", "1e3 s", "0.0001 s", "١٥ s", "15\n s", "15 s\n",
        "1_000 s", "1-2-3-4 s", "9999999999 s", "9" * 5000 + " s",
    ],
)  # fmt: skip
def test_what_is_no_duration_is_none(text: str) -> None:
    """No unit, an unknown one, a range that runs backwards, less than a millisecond: nothing is guessed."""
    assert read_duration(text) is None


@given(st.integers(0, 10**9 - 1), st.integers(0, 999), st.sampled_from(sorted(FACTORS)))
def test_durations_agree_with_exact_fractions(whole: int, thousandths: int, symbol: str) -> None:
    """What is read is the exact product of number and factor."""
    text = f"{whole}.{thousandths:03}"
    expected = Fraction(text) * FACTORS[symbol] * 1000
    assert 1 == expected.denominator
    assert Duration(*[expected.numerator] * 3) == read_duration(f"{text} {symbol}")


@given(st.text(max_size=30))
def test_reading_a_duration_never_raises(text: str) -> None:
    """Any text is a duration or none."""
    found = read_duration(text)
    assert found is None or found.least <= found.most


SUNROOF: Tree = {"values": ["open", "closed"], "start": "unknown", "observed-by": "technician"}
PINCH: dict[str, Tree] = {
    "raised-by": ["sunroof = open"],
    "harm": "injury",
    "severity": "minor-or-moderate-injury",
    "likelihood": "could",
    "hazard": "The sunroof closes with force.",
    "consequence": "It can crush fingers.",
    "avoid": "Keep hands clear.",
    "placing": "directly-before",
}
OPEN: Tree = {
    "patterns": ["open-sunroof [{for}]"],
    "parameters": {"for": "duration"},
    "takes": "2-4-8 s",
    "makes": ["sunroof = open if fact.sunroof-kind = glass"],
    "hazards": ["sunroof-pinch"],
    "say": "Open the sunroof.",
}
EXTRA: dict[str, Tree] = {
    "variables": {"sunroof": SUNROOF},
    "actions": {"open-sunroof": OPEN},
    "hazards": {"sunroof-pinch": PINCH},
    "attributes": {"sunroof-kind": {"type": "words", "words": ["glass", "cloth"], "class": "C"}},
    "words": {"vague": {"ajar": {"phrases": ["ajar"], "readings": ["1 cm", "10 cm"], "write": "a distance"}}},
}
POLISH: dict[str, Tree] = {"patterns": ["polish"], "takes": "1-2-3 s", "say": "Polish it."}


def test_a_library_can_add_words() -> None:
    """A library's own words stand beside the standard ones, which stay as they are."""
    larger = extended(standard(), EXTRA, origin="library.yaml")
    assert "CAUTION" == larger.hazards["sunroof-pinch"].signal
    assert isinstance(larger.match("open-sunroof 2-4 s"), MatchedLine)
    assert larger.variables["sunroof"].values == ("open", "closed")
    assert larger.attributes["sunroof-kind"].danger == "C"
    assert larger.words["ajar"].vague
    assert "turn" in larger.actions
    assert "open-sunroof" not in standard().actions


def test_a_library_can_be_extended_again() -> None:
    """Words that were added are kept, and taken."""
    larger = extended(standard(), EXTRA, origin="library.yaml")
    again = extended(larger, {"attributes": {"roof-rack": {"type": "truth", "class": "C"}}}, origin="more.yaml")
    assert {"sunroof-kind", "roof-rack"} <= set(again.attributes)
    with pytest.raises(CatalogueProblem, match=r"more\.yaml: vocabulary\.variables\.sunroof: 'sunroof' has a meaning"):
        extended(larger, {"variables": {"sunroof": SUNROOF}}, origin="more.yaml")


def test_no_words_add_nothing() -> None:
    """A library without a vocabulary gets the standard one."""
    assert list(extended(standard(), {}, origin="library.yaml").actions) == list(standard().actions)


def act(**fields: Tree) -> dict[str, Tree]:
    """Give the vocabulary of a library with the one action `polish`, with some fields changed."""
    return {"actions": {"polish": {**POLISH, **fields}}}


def hurt(**fields: Tree) -> dict[str, Tree]:
    """Give the vocabulary of a library with the one hazard `glare`, with some fields changed."""
    return {"variables": {"sunroof": SUNROOF}, "hazards": {"glare": {**PINCH, **fields}}}


KEY: Tree = {"key": "key"}
REFUSED: list[tuple[dict[str, Tree], str, str]] = [
    ({"variables": {"hood": {"values": ["up", "down"]}}}, "variables.hood", "'hood' has a meaning already."),
    ({"actions": {"turn": POLISH}}, "actions.turn", "'turn' has a meaning already."),
    ({"hazards": {"pinch": PINCH}}, "hazards.pinch", "'pinch' has a meaning already."),
    (
        {"attributes": {"rearm": {"type": "truth", "class": "C"}}},
        "attributes.rearm",
        "'rearm' has a meaning already.",
    ),
    ({"units": {}}, "units", "There is no such field; there are"),
    ({"actions": []}, "actions", "Names with their values belong here."),
    ({"actions": {"polish": "now"}}, "actions.polish", "Names with their values belong here."),
    (act(colour="red"), "actions.polish.colour", "There is no such field; there are"),
    (act(say=""), "actions.polish", "'say' is missing."),
    (act(say=["Polish."]), "actions.polish.say", "A text belongs here."),
    (act(takes="a while"), "actions.polish.takes", "'a while' is no time such as 0.5-1-2 s."),
    (act(takes="from key"), "actions.polish.takes", "There is no parameter 'key'."),
    (act(actor="robot"), "actions.polish.actor", "'robot' is none of technician, equipment, vehicle."),
    (act(writes="perhaps"), "actions.polish.writes", "'perhaps' is none of yes, no."),
    (act(hazards="pinch"), "actions.polish.hazards", "A list of texts belongs here."),
    (act(needs=[["x"]]), "actions.polish.needs", "A list of texts belongs here."),
    (act(hazards=["glare"]), "actions.polish.hazards", "There is no hazard 'glare'."),
    (act(needs=["fact.shine = true"]), "actions.polish.needs", "There is no attribute 'shine'."),
    (
        act(needs=["sunroof = open"]),
        "actions.polish.needs",
        "'sunroof = open' does not begin with a variable.",
    ),
    (act(makes=["{key}.cut = yes"]), "actions.polish", "There is no parameter 'key'."),
    (act(say="Polish {key}."), "actions.polish", "There is no parameter 'key'."),
    (act(patterns=[]), "actions.polish.patterns", "At least one pattern belongs here."),
    (act(patterns=["rub"]), "actions.polish.patterns", "'rub' does not begin with 'polish'."),
    (
        act(patterns=["polish [it"]),
        "actions.polish.patterns",
        "'polish [it' has a bracket without its other half.",
    ),
    (
        act(patterns=["polish it]"]),
        "actions.polish.patterns",
        "'polish it]' has a bracket without its other half.",
    ),
    (act(patterns=["polish {key}"]), "actions.polish.patterns", "There is no parameter 'key'."),
    (act(parameters=KEY), "actions.polish.parameters.key", "No pattern has this parameter."),
    (
        act(patterns=["polish {a}"], parameters={"a": "angle"}),
        "actions.polish.parameters.a",
        "There is no kind 'angle'.",
    ),
    (act(patterns=["polish {a}"], parameters={"a": {}}), "actions.polish.parameters.a", "'kind' is missing."),
    (
        act(patterns=["polish {a} now"], parameters={"a": "text"}),
        "actions.polish.parameters.a",
        "Nothing can stand behind",
    ),
    (
        act(patterns=["polish {a}"], parameters={"a": "value"}),
        "actions.polish.parameters.a",
        "A value belongs to a variable",
    ),
    (
        act(patterns=["polish {key}", "polish [X]"], parameters=KEY),
        "actions.polish.patterns",
        "A line can fit both",
    ),
    (
        act(patterns=["polish [x] [x]"]),
        "actions.polish.patterns",
        "A line can fit both 'polish x' and 'polish x'.",
    ),
    (
        act(patterns=["polish {a}", "polish {b}"], parameters={"a": "key", "b": "group"}),
        "actions.polish.patterns",
        "A line can fit both 'polish {a}' and 'polish {b}'.",
    ),
    (
        act(patterns=["polish {a}", "polish {b} on"], parameters={"a": "text", "b": "key"}),
        "actions.polish.patterns",
        "A line can fit both 'polish {a}' and 'polish {b} on'.",
    ),
    (
        hurt(severity="death"),
        "hazards.glare.severity",
        "There is no signal word for 'death' that 'could' happen.",
    ),
    (hurt(placing="nearby"), "hazards.glare.placing", "'nearby' is none of"),
    (hurt(**{"raised-by": ["action = polish"]}), "hazards.glare.raised-by", "There is no action 'polish'."),
    (
        hurt(**{"discharged-by": ["action in [turn, rub]"]}),
        "hazards.glare.discharged-by",
        "There is no action 'rub'.",
    ),
    ({"variables": {"x": {"values": []}}}, "variables.x.values", "At least one value belongs here."),
    (
        {"variables": {"x": {"values": "some"}}},
        "variables.x.values",
        "A list of words or a range such as 0-16",
    ),
    (
        {"variables": {"x": {"values": "9-2"}}},
        "variables.x.values",
        "A list of words or a range such as 0-16",
    ),
    (
        {"variables": {"x": {"values": ["a", "b"], "start": "c"}}},
        "variables.x.start",
        "'c' is none of its values.",
    ),
    (
        {"variables": {"x": {"values": ["a", "b"], "stands-for": ["y", "z"]}}},
        "variables.x.stands-for",
        "There is no variable 'y'.",
    ),
    (
        {"attributes": {"x": {"type": "words", "class": "A"}}},
        "attributes.x.words",
        "The words that may stand in a cell",
    ),
    (
        {"attributes": {"x": {"type": "count", "class": "A"}}},
        "attributes.x.range",
        "The least and the most are missing.",
    ),
    (
        {"attributes": {"x": {"type": "quantity", "unit": "mile", "range": "1-2", "class": "A"}}},
        "attributes.x.unit",
        "There is no unit 'mile'.",
    ),
    ({"attributes": {"x": {"type": "truth", "class": "D"}}}, "attributes.x.class", "'D' is none of A, B, C."),
    (
        {"attributes": {"x": {"type": "count", "range": "few", "class": "A"}}},
        "attributes.x.range",
        "A range such as",
    ),
    (
        {"words": {"vague": {"x": {"phrases": ["hold"], "write": "a time"}}}},
        "words.x.phrases",
        "'hold' stands under 'hold' too.",
    ),
]


@pytest.mark.parametrize(("extra", "key", "message"), REFUSED, ids=[f"{key}-{n}" for n, (_, key, _) in enumerate(REFUSED)])
def test_words_that_do_not_fit_are_refused(extra: dict[str, Tree], key: str, message: str) -> None:
    """A library's word that clashes or contradicts is refused with its file and key."""
    with pytest.raises(CatalogueProblem) as raised:
        extended(standard(), extra, origin="library.yaml")
    assert ("library.yaml", f"vocabulary.{key}") == (raised.value.file, raised.value.key)
    assert raised.value.message.startswith(message)


def test_a_kind_is_words_or_an_expression() -> None:
    """What fits a parameter is told in one way."""
    for fields in ({}, {"words": ["a", "b"], "matches": "a|b"}):
        with pytest.raises(CatalogueProblem, match="Either words or an expression belongs here"):
            reading.kind(Row("actions.yaml", "kinds-of-parameter.side", fields), "side", ())


def test_rows_of_a_list_have_fields() -> None:
    """A text where a row belongs is refused with its number."""
    rows = Row("make-sure.yaml", "", {"make-sure": ["hood = open"]}).list_of_rows("make-sure")
    with pytest.raises(CatalogueProblem, match=r"make-sure\.yaml: make-sure\.0: Fields with their values"):
        list(rows)


def test_a_verb_that_cannot_be_read_is_told_whole() -> None:
    """All that is wrong with the forms of one verb is found at once."""
    action = reading.action(Row("", "", {**POLISH, "patterns": ["rub {a}", "polish ["]}), "polish")
    assert 3 == len(list(forms.problems(action, standard().kinds)))


def test_nothing_of_the_machine_stands_in_the_data() -> None:
    """The data speaks of the trade alone: no address and no path."""
    for path in (*FOLDER.glob("*.yaml"), *FOLDER.glob("schemas/*.json")):
        text = path.read_text("utf-8").replace("https://json-schema.org/", "")
        assert "http" not in text, path.name
        assert str(Path.home()) not in text or str(Path.home()) == "/", path.name
