"""Facts tables become claims, cells without a meaning are told, and the catalogue's relations can be read."""

import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import jsonschema_rs
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from proclint.analysis.facts.claims import ClaimReader
from proclint.analysis.facts.reconcile import reconcile
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.tables import TableClaims, read_table
from proclint.catalogue import CatalogueProblem, standard
from proclint.catalogue.domains import Domain, Unfit, between, domain_of, is_compared, one_of, read_domain, without
from proclint.catalogue.entries import Attribute
from proclint.catalogue.packaged import FOLDER, Tree, packaged
from proclint.catalogue.relations import Linear, Literal, Relations, read_relations, relations_between
from proclint.catalogue.row import Row
from proclint.source import Limits, SourceText, read_csv

ROOT = Path(__file__).parents[1]
ATTRIBUTES = standard().attributes
RELATIONS = relations_between(ATTRIBUTES)


def read(text: str, attribute: str, nearness: int = 0) -> Domain | Unfit:
    """Read a cell of an attribute of the catalogue."""
    return read_domain(text, ATTRIBUTES[attribute], nearness=nearness)


def spans(*ends: tuple[int, int], words: frozenset[str] = frozenset()) -> Domain:
    """Make a domain of some spans and words."""
    return Domain(ends, words)


@pytest.mark.parametrize(
    ("attribute", "text", "expected"),
    [
        ("key-cap", "4", spans((4, 4))),
        ("key-cap", "4-6", spans((4, 6))),
        ("key-cap", "8|4", spans((4, 4), (8, 8))),
        ("key-cap", "4 | 5|6-7", spans((4, 7))),
        ("frequency", "433.92", spans((433_920, 433_920))),
        ("frequency", "315|433.92", spans((315_000, 315_000), (433_920, 433_920))),
        ("originals-needed-on-board", "not-possible", one_of("not-possible")),
        ("originals-needed-on-board", "1-2|not-possible", spans((1, 2), words=frozenset({"not-possible"}))),
        ("together", "true", one_of("true")),
        ("head-kind", "plain|fob", one_of("fob", "plain")),
        ("wait-resets-on", "plug|door", one_of("door|plug")),
        ("learn-pre", "hood = closed", one_of("hood = closed")),
        ("blade-profile", "B-7", one_of("B-7")),
    ],
)
def test_cells_are_domains(attribute: str, text: str, expected: Domain) -> None:
    """A cell leaves numbers and words open: one of several, or all of several as one set."""
    assert expected == read(text, attribute)


@pytest.mark.parametrize(
    ("attribute", "text", "kind", "suggestion"),
    [
        ("key-cap", "four", "no-number", ""),
        ("key-cap", "4.5", "no-number", ""),
        ("key-cap", "4 keys", "with-unit", "4"),
        ("lockout", "10 min", "with-unit", ""),
        ("frequency", "433,92", "no-number", "433.92"),
        ("frequency", "433.9201", "no-number", ""),
        ("originals-needed-on-board", "not possible", "no-number", "not-possible"),
        ("key-cap", "6-4", "wrong-way-round", "4-6"),
        ("key-cap", "0", "out-of-range", ""),
        ("key-cap", "4|17", "out-of-range", ""),
        ("head-kind", "integratd", "unknown-word", "integrated"),
        ("together", "yes", "unknown-word", ""),
        ("together", "true|false", "one-value-only", ""),
        ("key-cap", "4|4", "same-twice", ""),
        ("blade-profile", "|", "one-value-only", ""),
        ("wait-resets-on", "door|hod", "unknown-word", "hood"),
    ],
)
def test_cells_without_a_meaning_are_told(attribute: str, text: str, kind: str, suggestion: str) -> None:
    """What is wrong with a cell is told by kind, with what may stand there and, where it is plain, what was meant."""
    found = read(text, attribute)
    assert isinstance(found, Unfit)
    assert (kind, suggestion) == (found.kind, found.suggestion)
    assert found.expected


def test_near_numbers_are_one() -> None:
    """Two numbers at most so far apart as the catalogue says have something in common, and farther ones have not."""
    nearness = RELATIONS.nearness["frequency"]
    assert 200 == nearness
    one, near, far = (read(text, "frequency", nearness) for text in ("433.72", "433.92", "433.93"))
    assert isinstance(one, Domain)
    assert isinstance(near, Domain)
    assert isinstance(far, Domain)
    assert one.spans[0][1] >= near.spans[0][0]
    assert one.spans[0][1] < far.spans[0][0]


@given(st.decimals(min_value=0, max_value=999_999, places=3))
def test_numbers_are_exact(number: Decimal) -> None:
    """A number with three decimals is as many thousandths, digit by digit."""
    attribute = Attribute("x", "quantity", "s", Decimal(0), Decimal(10**6), (), "A", narrows=False, several="one-of", note="")
    assert between(int(number * 1000), int(number * 1000)) == read_domain(f"{number:f}", attribute)


def test_number_without_a_range_may_be_any() -> None:
    """An attribute that has no range takes every number, and has no last value."""
    attribute = Attribute("x", "count", "keys", None, None, (), "A", narrows=False, several="one-of", note="")
    assert (between(0, 123_456), None) == (read_domain("0-123456", attribute), domain_of(attribute))


def test_what_an_attribute_can_be() -> None:
    """Numbers and words of the catalogue have a first and a last one; names, texts and sets have no end."""
    assert between(1, 16) == domain_of(ATTRIBUTES["key-cap"])
    assert spans((0, 2), words=frozenset({"not-possible"})) == domain_of(ATTRIBUTES["originals-needed-on-board"])
    assert one_of("true", "false") == domain_of(ATTRIBUTES["together"])
    assert one_of("keyed", "push-start", "twist-knob") == domain_of(ATTRIBUTES["ignition-kind"])
    assert [None] * 4 == [domain_of(ATTRIBUTES[name]) for name in ("blade-profile", "tell", "wait-resets-on", "years")]
    assert [True, True, False, False, False] == [
        is_compared(ATTRIBUTES[name]) for name in ("key-cap", "learn-pre", "tell", "years", "markets")
    ]


def test_taking_out_of_the_middle() -> None:
    """A span without a part of it is what stands before and after."""
    assert spans((0, 2), (5, 9)) == without(between(0, 9), between(3, 4))
    assert spans() == without(between(3, 4), between(0, 9))


# Tables.


def claims_of(text: str, source: str = "some-source", reader: ClaimReader | None = None) -> TableClaims:
    """Read a table's claims."""
    return read_table(
        read_csv(SourceText("facts.csv", text), Limits()), source, reader or ClaimReader(RELATIONS, Space(ATTRIBUTES))
    )


def told(found: TableClaims) -> list[tuple[str, str, str]]:
    """Give the bad cells: kind, column and what the place's span holds of the path."""
    return [(bad.why.kind, bad.column, "/".join(map(str, bad.at.path))) for bad in found.bad]


TABLE = """make,model,years,markets,ignition-kind,tell,on,note,key-cap,head-kind,rearm
Ostrel,Tarn,2015-2020,region-1|region-2,push-start,,2024-01-01,a note,4,fob,unknown
Ostrel,Skerry,,,,lamp solid,,,,plain,30-45
"""


def test_table_claims() -> None:
    """Each cell of an attribute is a claim of its row's vehicles; free text is none, `unknown` is a claim to not know."""
    found = claims_of(TABLE)
    assert [] == told(found)
    assert [
        ("ignition-kind", "push-start", 0),
        ("key-cap", "4", 0),
        ("head-kind", "fob", 0),
        ("head-kind", "plain", 1),
        ("rearm", "30-45", 1),
    ] == [(claim.statement.attribute, claim.text, claim.application.row) for claim in found.claims]
    assert [("rearm", 0)] == [(each.attribute, each.application.row) for each in found.not_known]
    claim = found.claims[1]
    assert ("some-source", found.applications[0].box) == (claim.source, claim.box)
    assert ("facts.csv", (0, "key-cap")) == (claim.at.file, claim.at.path)
    assert "4" == TABLE[claim.at.start : claim.at.end]


def test_free_text_and_unknown_are_no_statements() -> None:
    """Nobody can hold two free texts against each other, and not to know is to say nothing."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    assert [None, None] == [reader.statement("tell", "lamp solid"), reader.statement("key-cap", "unknown")]


def test_equal_cells_are_one_statement() -> None:
    """What is written in two ways and means the same is one statement, across tables too."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    first = claims_of("model,key-cap\nTarn,4|5\n", "one", reader).claims[0]
    second = claims_of("model,key-cap\nTarn,4-5\n", "two", reader).claims[0]
    assert first.statement == second.statement


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("model,keycap\nTarn,4\n", [("unknown-column", "keycap", "header/keycap")]),
        ("model,keys-before\nTarn,4\n", [("unknown-column", "keys-before", "header/keys-before")]),
        ("model,key-cap\nTarn,four\n", [("no-number", "key-cap", "0/key-cap")]),
        ("model,years,key-cap\nTarn,2012-2009,4\n", [("wrong-way-round", "years", "0/years")]),
        ("model,key-cap\nTarn,4\nTarn,5\nTarn,4\n", [("same-row-twice", "model", "2/model")]),
        ("ignition-kind,key-cap\nkyed,4\n", [("unknown-word", "ignition-kind", "0/ignition-kind")]),
    ],
)
def test_bad_cells_have_row_and_column(text: str, expected: list[tuple[str, str, str]]) -> None:
    """Bad cells, unknown columns, wrong ranges and rows that stand twice are told with row and column."""
    assert expected == told(claims_of(text))


def test_bad_cells_name_what_was_meant_and_the_other_row() -> None:
    """An unknown column names the nearest one, and a row that stands twice the earlier one."""
    assert "key-cap" == claims_of("model,keycap\nTarn,4\n").bad[0].why.suggestion
    (twice,) = claims_of("model,key-cap\nTarn,4\nTarn,4\n").bad
    assert twice.other is not None
    assert (0, "model") == twice.other.path


def test_row_of_nobody_knows_which_vehicles_says_nothing() -> None:
    """Where a cell that narrows is bad the row makes no claim, again and again, and each such row is told."""
    found = claims_of("model,years,key-cap\nTarn,soon,4\nTarn,soon,5\nTarn,2012,6\n")
    assert [("no-years", "years", "0/years"), ("no-years", "years", "1/years")] == told(found)
    assert ["6"] == [claim.text for claim in found.claims]


def boxes_of(found: TableClaims, reader: ClaimReader) -> list[tuple[str, dict[str, str]]]:
    """Give each claim's text and vehicles."""
    return [(claim.text, reader.space.words(claim.box)) for claim in found.claims]


def test_narrower_row_wins_inside_a_wider_one() -> None:
    """Of two rows of one source the one with more columns that narrow wins inside the other, for what it says itself."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    text = "model,years,markets,key-cap,rearm\nTarn,2010-2015,,4,30\nTarn,2012,region-1,5,45\nTarn,2013,,unknown,40\n"
    found = claims_of(text, "one", reader)
    expected = [
        ("4", {"model": "Tarn", "years": "2012", "markets": "all but region-1"}),
        ("4", {"model": "Tarn", "years": "2010-2011, 2013-2015"}),
        ("30", {"model": "Tarn", "years": "2012", "markets": "all but region-1"}),
        ("30", {"model": "Tarn", "years": "2010-2011, 2013-2015"}),
        ("5", {"model": "Tarn", "years": "2012", "markets": "region-1"}),
        ("45", {"model": "Tarn", "years": "2012", "markets": "region-1"}),
        ("40", {"model": "Tarn", "years": "2013"}),
    ]
    assert expected == boxes_of(found, reader)
    # As many columns narrow in the last row as in the first, so neither wins there.
    assert [("30", "40")] == [
        tuple(sorted(claim.text for behind in conflict.claims for claim in behind))
        for conflict in reconcile(found.claims, RELATIONS, reader.space).conflicts
    ]


def test_row_of_a_model_wins_inside_a_row_of_all() -> None:
    """A row that names no model is the wider one of any row that does, and of a row of all that narrows more."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    found = claims_of("make,model,years,key-cap\n,,,4\n,,2012,6\nOstrel,Tarn,,5\n", "one", reader)
    texts: dict[str, list[dict[str, str]]] = {"4": [], "5": [], "6": []}
    for text, words in boxes_of(found, reader):
        texts[text].append(words)
    assert [{"make": "Ostrel", "model": "Tarn"}] == texts["5"]
    assert [{"years": "2012"}] == texts["6"]
    assert all(words.get("years", "") == "1990-2011, 2013-2035" for words in texts["4"])
    assert {"make": "all but Ostrel", "years": "1990-2011, 2013-2035"} in texts["4"]


def test_sources_do_not_win_inside_each_other() -> None:
    """A narrower row of another source is no exception: the two contradict each other where they meet."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    wide = claims_of("model,years,key-cap\nTarn,2010-2015,4\n", "one", reader)
    narrow = claims_of("model,years,markets,key-cap\nTarn,2012,region-1,5\n", "two", reader)
    (conflict,) = reconcile((*wide.claims, *narrow.claims), RELATIONS, reader.space).conflicts
    assert [{"model": "Tarn", "years": "2012", "markets": "region-1"}] == [reader.space.words(box) for box in conflict.boxes]


def test_library_tables_agree() -> None:
    """The library's own tables have no bad cell, and nothing in them contradicts anything else; reports are read elsewhere."""
    reader = ClaimReader(RELATIONS, Space(ATTRIBUTES))
    tables = [path for path in sorted((ROOT / "procedures" / "facts").glob("*.csv")) if path.stem != "field-reports"]
    found = [claims_of(path.read_text(encoding="utf-8"), path.stem, reader) for path in tables]
    assert [] == [bad for each in found for bad in each.bad]
    claims = [claim for each in found for claim in each.claims]
    assert len(claims) > 100
    reconciled = reconcile(claims, RELATIONS, reader.space)
    assert ((), ()) == (reconciled.conflicts, reconciled.undecided)


# The relations as data.


def test_relations_fit_their_schema() -> None:
    """The packaged relations are valid by two validators that share no code, and the schema is one."""
    schema = json.loads((FOLDER / "schemas" / "relations.schema.json").read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    jsonschema_rs.meta.validate(schema)
    assert [] == [error.message for error in Draft202012Validator(schema).iter_errors(packaged("relations"))]
    assert jsonschema_rs.is_valid(schema, packaged("relations"))


def test_sayings_are_sentences() -> None:
    """Each relation says in a sentence what it means."""
    assert [] == [name for name, saying in RELATIONS.sayings.items() if not (saying[0].isupper() and saying.endswith("."))]
    assert {law.relation for law in RELATIONS.laws} == set(RELATIONS.sayings)


def test_relations_speak_of_values_with_an_end() -> None:
    """Whatever a law speaks of is an attribute or a quantity, with all that it can be."""
    used = {name for law in RELATIONS.laws for name in law.attributes}
    assert used == set(RELATIONS.domains)
    assert used <= set(ATTRIBUTES) | set(RELATIONS.quantities)


def relations_of(then: list[str], when: list[str] | None = None) -> Relations:
    """Read one relation of the catalogue's attributes."""
    rule: Mapping[str, Tree] = {"then": then, "says": "So it is.", **({"when": when} if when else {})}
    return read_relations(Row("own.yaml", "", {"quantities": {}, "nearness": {}, "relations": {"own": rule}}), ATTRIBUTES)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("key-cap <= 4", [Linear(((1, "key-cap"),), 4)]),
        ("key-cap < 4", [Linear(((1, "key-cap"),), 3)]),
        ("key-cap + 1 > remote-cap", [Linear(((-1, "key-cap"), (1, "remote-cap")), 0)]),
        ("4 - valet-cap >= key-cap", [Linear(((1, "valet-cap"), (1, "key-cap")), 4)]),
        ("lockout < 60", [Linear(((1, "lockout"),), 59_999)]),
        ("key-cap = fob-cap", [Linear(((1, "key-cap"), (-1, "fob-cap")), 0), Linear(((-1, "key-cap"), (1, "fob-cap")), 0)]),
        ("head-kind = fob", [Literal("head-kind", one_of("fob"))]),
        ("head-kind != fob", [Literal("head-kind", one_of("plain", "integrated", "separate-remote"))]),
    ],
)
def test_what_then_holds(text: str, expected: list[Linear | Literal]) -> None:
    """A consequence is a sum that is at most a number, two such for equality, or a word that a value is or is not."""
    assert expected == [law.then for law in relations_of([text]).laws]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("head-kind = fob", one_of("fob")),
        ("head-kind != fob", one_of("plain", "integrated", "separate-remote")),
        ("head-kind in [fob, plain]", one_of("fob", "plain")),
        ("originals-needed-on-board = not-possible", one_of("not-possible")),
        ("key-cap = 4", between(4, 4)),
        ("key-cap != 4", spans((1, 3), (5, 16))),
        ("key-cap < 4", between(-(10**12), 3)),
        ("key-cap <= 4", between(-(10**12), 4)),
        ("key-cap > 4", between(5, 10**12)),
        ("lockout >= 60", between(60_000, 10**12)),
    ],
)
def test_what_is_given(text: str, expected: Domain) -> None:
    """A condition holds one attribute against a word, words or a number."""
    (law,) = relations_of(["together = true"], [text]).laws
    assert (expected,) == tuple(literal.domain for literal in law.given)
    assert law.attributes[-1] == "together"


def test_equal_words_are_implications_both_ways() -> None:
    """Two attributes of words are equal where each word of one makes it the other's."""
    laws = relations_of(["code = session-keepalive"], ["together = true"]).laws
    pairs = {(law.given[1].attribute, min(law.given[1].domain.words)) for law in laws}
    assert {("code", word) for word in ("none", "none-with-working-key", "required", "technician", "tool")} <= pairs
    assert {law.then.domain for law in laws if isinstance(law.then, Literal)} == {law.given[1].domain for law in laws}


NO_SUM = "is no sum of values that can be added, with one of = < <= > >=."


@pytest.mark.parametrize(
    ("rule", "key", "message"),
    [
        ({}, "then", "What holds is missing."),
        ({"then": ["key-cap = 4"], "if": []}, "if", "There is no such field; there are says, then, when."),
        ({"then": ["key-cap"]}, "then", "'key-cap' compares nothing."),
        ({"then": ["key-cap + <= 4"]}, "then", "'key-cap +' is no sum of values and whole numbers."),
        ({"then": ["key-cap * 2 <= 4"]}, "then", "'key-cap * 2' is no sum of values and whole numbers."),
        ({"then": ["keycap <= 4"]}, "then", "'keycap' is no sum of values and whole numbers."),
        ({"then": ["head-kind <= 4"]}, "then", "'head-kind' is no sum of values and whole numbers."),
        ({"then": ["3 <= 4"]}, "then", f"'3 <= 4' {NO_SUM}"),
        ({"then": ["key-cap != 4"]}, "then", f"'key-cap != 4' {NO_SUM}"),
        ({"then": ["lockout + rearm <= frequency"]}, "then", f"'lockout + rearm <= frequency' {NO_SUM}"),
        ({"then": ["lockout <= key-cap"]}, "then", f"'lockout <= key-cap' {NO_SUM}"),
        ({"then": ["key-cap <= key-cap"]}, "then", "'key-cap <= key-cap' names a value twice."),
        ({"then": ["head-kind = fobs"]}, "then", "'head-kind' is never 'fobs'."),
        ({"then": ["blade-profile = chip-family"]}, "then", "There is no attribute 'blade-profile' with a last value."),
        ({"then": ["key-cap = 4"], "when": ["head-kind in [fobs]"]}, "when", "'head-kind' is never 'fobs'."),
        ({"then": ["key-cap = 4"], "when": ["headkind = fob"]}, "when", "There is no attribute 'headkind' with a last value."),
        (
            {"then": ["key-cap = 4"], "when": ["key-cap + fob-cap = 4"]},
            "when",
            "'key-cap + fob-cap = 4' does not hold one attribute against a word or a number.",
        ),
        (
            {"then": ["key-cap = 4"], "when": ["head-kind <= fob"]},
            "when",
            "'head-kind <= fob' does not hold one attribute against a word or a number.",
        ),
    ],
)
def test_bad_relations_are_refused(rule: Mapping[str, Tree], key: str, message: str) -> None:
    """A relation that cannot be read is refused with file, key and what is wrong."""
    root = Row("own.yaml", "", {"quantities": {}, "nearness": {}, "relations": {"own": {"says": "So.", **rule}}})
    with pytest.raises(CatalogueProblem) as raised:
        read_relations(root, ATTRIBUTES)
    assert ("own.yaml", f"relations.own.{key}", message) == (raised.value.file, raised.value.key, raised.value.message)


@pytest.mark.parametrize(
    ("part", "key", "message"),
    [
        ({"laws": {}}, "laws", "There is no such field; there are nearness, quantities, relations."),
        ({"nearness": {"key-cap": "1"}}, "nearness.key-cap", "There is no quantity 'key-cap'."),
        ({"nearness": {"frequencies": "1"}}, "nearness.frequencies", "There is no quantity 'frequencies'."),
        ({"nearness": {"frequency": "near"}}, "nearness.frequency", "A number belongs here."),
        (
            {"quantities": {"key-cap": {"type": "truth", "class": "A"}}},
            "quantities.key-cap",
            "'key-cap' is an attribute already.",
        ),
        ({"relations": {"own": {"then": ["key-cap = 4"]}}}, "relations.own", "'says' is missing."),
    ],
)
def test_bad_parts_are_refused(part: Mapping[str, Tree], key: str, message: str) -> None:
    """What else cannot be read in a file of relations is refused in the same way."""
    with pytest.raises(CatalogueProblem) as raised:
        read_relations(Row("own.yaml", "", {"quantities": {}, "nearness": {}, "relations": {}, **part}), ATTRIBUTES)
    assert ("own.yaml", key, message) == (raised.value.file, raised.value.key, raised.value.message)
