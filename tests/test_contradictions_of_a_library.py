"""Contradictions put into a copy of the library's tables are found, exactly those, where they bite; and are told."""

import csv
import io
import json
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from proclint.analysis.facts.in_words import all_vehicles, said
from proclint.apps.cli import group
from proclint.apps.files import gather
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, examine
from proclint.engine.examine import examined
from proclint.engine.laying import lay_out, reader
from proclint.engine.reconcile import Reconciliation, believing, reconcile_files
from proclint.engine.vehicle import read_vehicle
from proclint.engine.whole import Bar, library_study
from proclint.settings import UsageProblem

ROOT = Path(__file__).parents[1]
ON = "2026-11-25"


@cache
def library() -> dict[str, Input]:
    """Read the library, each file by its name from the library's folder."""
    read = (
        each._replace(name=Path(each.name).relative_to(ROOT / "procedures").as_posix()) for each in gather((ROOT / "procedures",))
    )
    return {each.name: each for each in read}


def with_changes(changes: Iterable[tuple[str, str, str]], more: Mapping[str, str] | None = None) -> list[Input]:
    """Give the library with texts replaced, each `file, old, new`, and with more tables."""
    inputs = dict(library())
    for file, old, new in changes:
        text = (inputs[file].data or b"").decode()
        assert old in text, (file, old)
        inputs[file] = inputs[file]._replace(data=text.replace(old, new, 1).encode())
    inputs |= {name: Input(name, "facts", text.encode()) for name, text in (more or {}).items()}
    return list(inputs.values())


def reconciled(changes: Iterable[tuple[str, str, str]] = (), more: Mapping[str, str] | None = None) -> Reconciliation:
    """Reconcile the library with changes."""
    return reconcile_files(with_changes(changes, more), standard(), known_rules(), on=ON)


def contradictions(found: Reconciliation) -> set[tuple[str, str, tuple[str, ...]]]:
    """Say each contradiction: its statements, where it bites, and by which relations."""
    return {
        (
            ", ".join(sorted(said(*pair) for pair in zip(each.conflict.statements, each.conflict.claims, strict=True))),
            all_vehicles(each.conflict.boxes, found.evidence.space),
            each.relations,
        )
        for cluster in found.clusters
        for each in cluster.contradictions
    }


BOTH, KEYED = "region-1|region-2", "keyed"
REPORTS = """\
make,model,years,build,markets,ignition-kind,gearbox,high-voltage,variant,method,by,on,note,fobs-counted
Varnholt,Adit,2019,,region-1,,,,,,m-31,2026-05-02,count read five,5
"""
# Values of one attribute, a range that misses, words, a market, a shared year, a count against a cap, an implication, a chain
# of two bounds, a sum of three; the texts that are replaced stand once in their file.
PUT_IN: dict[str, tuple[tuple[str, str, str], set[tuple[str, str, tuple[str, ...]]]]] = {
    "two numbers": (
        ("facts/supplier-note-7.csv", "crypto-40,false,4,,,,,\n", "crypto-40,false,5,,,,,\n"),
        {("remote-cap 4, remote-cap 5", f"Corvane Halyard 2013-2017, {BOTH}, {KEYED}, manual, none", ())},
    ),
    "a range that misses": (
        ("facts/supplier-note-7.csv", "crypto-80,true,,,6,,7,\n", "crypto-80,true,,,6,,4-6,\n"),
        {("code-length 4-6, code-length 7", f"Varnholt Lode 2010-2016, {BOTH}, {KEYED}, automatic, none", ())},
    ),
    "two words": (
        ("facts/supplier-note-7.csv", "fixed-code,false", "crypto-40,false"),
        {("chip-family crypto-40, chip-family fixed-code", f"Quillon Pommel 2008-2013, {BOTH}, {KEYED}, none", ())},
    ),
    "one of several": (
        ("facts/supplier-note-7.csv", "crypto-128,true,,6,,,,\n", "crypto-40|crypto-80,true,,6,,,,\n"),
        {
            (
                "chip-family crypto-128, chip-family crypto-40|crypto-80",
                f"Corvane Binnacle 2016-2021, {BOTH}, push-start, automatic, none",
                (),
            )
        },
    ),
    "one market": (
        ("facts/tarn-bulletin.csv", "Ostrel,Tarn,2015-2020,,region-2", "Ostrel,Tarn,2015-2020,,region-1"),
        {("frequency 315, frequency 433.92", "Ostrel Tarn 2015-2020, region-1, push-start, automatic, none", ())},
    ),
    "a copy that says otherwise": (
        ("facts/training-sheet-12.csv", ",,,,,,,false\n", ",,,,,,,true\n"),
        {("together false, together true", f"Brindlow Marrow 2012-2018, {BOTH}, {KEYED}, none", ())},
    ),
    "an implication": (
        ("facts/pommel-handbook.csv", "2,false,add", "2,true,add"),
        set(),
    ),
    "a chain of bounds": (
        ("facts/lode-log-2023-08.csv", "plain,6,crypto-80", "plain,1,crypto-80"),
        {
            ("key-cap 1, key-cap 6", f"Varnholt Lode 2010-2016, {BOTH}, {KEYED}, automatic, none", ()),
            (
                "head-kind plain, key-cap 1, minimum-keys-to-close 2",
                f"Varnholt Lode 2010-2016, {BOTH}, {KEYED}, automatic, none",
                ("closing-within-key-cap",),
            ),
        },
    ),
    "a button without fobs": (
        ("facts/almanac-bulletin.csv", "its line,fob,true,7", "its line,plain,false,7"),
        {
            (
                "head-kind plain, ignition-kind push-start",
                f"Mirrado Almanac 2018-2023, {BOTH}, push-start, automatic, none",
                ("push-start-has-fobs",),
            )
        },
    ),
}
COUNTED = {("fob-cap 4, fobs-counted 5", "Varnholt Adit 2019, region-1, push-start, automatic, hybrid", ("fobs-within-cap",))}


def test_the_library_contradicts_itself_nowhere() -> None:
    """The library as it is has no contradiction, nothing that was not decided, and no cell without a meaning."""
    found = reconciled()
    assert (set(), (), (), False) == (contradictions(found), found.undecided, found.disagreements, found.fails)


def test_exactly_what_was_put_in_is_found() -> None:
    """All contradictions at once, of different shapes: each is found with its set and box, and no other."""
    found = reconciled((change for change, _ in PUT_IN.values()), {"facts/field-reports.csv": REPORTS})
    expected = COUNTED | {one for _, each in PUT_IN.values() for one in each}
    assert len(expected) >= 8
    assert expected == contradictions(found)
    assert found.fails


@pytest.mark.parametrize("name", PUT_IN)
def test_each_alone(name: str) -> None:
    """One contradiction by itself is found by itself."""
    change, expected = PUT_IN[name]
    assert expected == contradictions(reconciled([change]))


def test_values_of_procedures_are_held_against_the_facts() -> None:
    """A procedure that states another cap than is believed is named with what it states."""
    found = reconciled([("brindlow/fenn-add-key.yaml", "slots: {key: 5}", "slots: {key: 8}")])
    assert [("brindlow-fenn-add-key", frozenset({"key-cap"}))] == [(each.job.id, each.attributes) for each in found.disagreements]


# Of all models of some makes and of all makes, at odds with what others say.
WIDE = {
    "facts/any-note.csv": "make,model,years,remote-cap\n,,2000-2030,7\n",
    "facts/wide-note.csv": "make,model,years,key-cap,fob-cap\nVarnholt,,2005-2030,8,3\n",
    "facts/broad-note.csv": "make,model,years,key-cap,remote-cap\nBrindlow,,2010-2016,4,5\nCorvane,,,,4\n",
    "facts/field-reports.csv": REPORTS,
}


def told(inputs: Iterable[Input]) -> dict[str, list[tuple[str, int, str]]]:
    """Give what the rules on facts tell of each procedure: rule, place, and all that is said, the cells behind it included."""
    found: dict[str, list[tuple[str, int, str]]] = {}
    rules = tuple(rule for rule in known_rules() if rule.group == "facts")
    for rule, result in ((each.rule.id, each.result) for each in examine(inputs, standard(), rules, on=ON).results):
        cells = [f"{note.at.file}:{note.at.start} {note.message}" for note in result.notes]
        said = "\n".join((result.message, result.why, result.change, *cells))
        found.setdefault(result.at.file, []).append((rule, result.at.start, said))
    return {file: sorted(results) for file, results in found.items()}


def test_a_procedure_alone_is_told_what_it_is_told_among_all() -> None:
    """A procedure alone, held against the facts of its models only, is told the same, but for what another says of its task."""
    inputs = with_changes((change for change, _ in PUT_IN.values()), WIDE)
    inputs = [each._replace(data=(each.data or b"").replace(b"slots: {key: 5", b"slots: {key: 9")) for each in inputs]
    inputs = [each._replace(data=(each.data or b"").replace(b"fob: 6", b"fob: 9").replace(b"4}", b"5}")) for each in inputs]
    among_all = told(inputs)
    steps = [each for each in inputs if each.kind == "steps" and "blocks" not in each.name]
    differ = 0
    for each in steps:
        others = [other for other in inputs if other not in steps]
        alone = told([each, *(other._replace(is_context=True) for other in others)])
        expected = [one for one in among_all.get(each.name, []) if one[0] != "two-procedures-disagree"]
        assert ({each.name: expected} if expected else {}) == alone
        differ += len(expected)
    assert differ >= 8


def models_weighed(shown: str) -> set[str]:
    """Say of which models something is believed when one file of the library is asked about and the others stand by."""
    inputs = [each._replace(is_context=each.name != shown) for each in library().values()]
    laid = lay_out(tuple(inputs), standard(), known_rules(), on=ON, read=reader(ON, lambda _: None))
    extracts = [each for study in laid.studies if (each := examined(study, laid).extract) is not None and study.file == shown]
    evidence = library_study(laid, extracts, Bar(())).evidence
    return {all_vehicles(fact.boxes, evidence.space).split(" ")[1] for fact in evidence.facts}


def test_only_the_models_of_the_procedures_asked_about_are_weighed() -> None:
    """A procedure by itself has the facts of its model weighed; a table that is asked about has those of all."""
    assert {"Halyard"} == models_weighed("corvane/halyard-relearn-remotes.yaml")
    assert {"Halyard", "Fenn", "Adit"} < models_weighed("facts/supplier-note-7.csv")


def test_one_vehicle() -> None:
    """With a vehicle only its facts, its procedures and what bites at it are given."""
    changes = [change for change, _ in PUT_IN.values()]
    vehicle = read_vehicle("Corvane Halyard 2015 region-1")
    found = reconcile_files(with_changes(changes), standard(), known_rules(), on=ON, vehicle=vehicle)
    assert {"remote-cap 4, remote-cap 5"} == {each for each, _, _ in contradictions(found)}
    assert ["corvane-halyard-relearn-remotes"] == [each.job.id for each in found.jobs]
    frequencies = [fact for fact in found.facts if fact.attribute == "frequency"]
    assert 1 == len(frequencies)


@pytest.mark.parametrize(
    ("text", "said_of_it"),
    [
        ("Corvane Halyard 2015 region-1", {"make": "Corvane", "model": "Halyard", "years": "2015", "markets": "region-1"}),
        ("Corvane Halyard", {"make": "Corvane", "model": "Halyard"}),
        ("Corvane Old Halyard 2015", {"make": "Corvane", "model": "Old Halyard", "years": "2015"}),
    ],
)
def test_a_vehicle_is_read(text: str, said_of_it: dict[str, str]) -> None:
    """Make, model, year and market are told apart; a model may have several words."""
    assert said_of_it == dict(read_vehicle(text).said)


@pytest.mark.parametrize("text", ["", "Corvane"])
def test_no_vehicle(text: str) -> None:
    """What names no make and model is a wrong call."""
    with pytest.raises(UsageProblem):
        read_vehicle(text)


CHANGED = [PUT_IN["two numbers"][0], ("corvane/halyard-relearn-remotes.yaml", "slots: {remote: 4}", "slots: {remote: 5}")]


def test_what_a_belief_changes() -> None:
    """A claim taken as true changes the fact, and the procedure that goes against the facts is right then."""
    found = reconciled(CHANGED)
    assert 1 == len(found.disagreements)
    belief = believing(found, "supplier-note-7:2:remote-cap")
    assert {("remote-cap", 5)} == {
        (change.after.attribute, change.after.domain.spans[0][0]) for change in belief.facts if change.after.domain
    }
    assert ["corvane-halyard-relearn-remotes"] == [each.job.id for each in belief.lost]
    assert () == belief.gained
    back = believing(found, "facts/log-2024-31.csv:2:remote-cap")
    assert ((), (), ()) == (back.facts, back.gained, back.lost)
    counted = reconciled((), {"facts/field-reports.csv": REPORTS})
    # What was counted at the vehicle is believed already; to believe the cap would change what is known of that one.
    assert () == believing(counted, "field-reports:2:fobs-counted").facts
    (change,) = believing(counted, "adit-bulletin:2:fob-cap").facts
    assert ("fob-cap", "Varnholt Adit 2019,") == (
        change.after.attribute,
        all_vehicles(change.after.boxes, counted.evidence.space)[:19],
    )
    with pytest.raises(UsageProblem, match="no claim 'log-2024-31:9:remote-cap'"):
        believing(found, "log-2024-31:9:remote-cap")


def put(folder: Path, changes: Iterable[tuple[str, str, str]] = (), more: Mapping[str, str] | None = None) -> Path:
    """Write the library with changes into a folder."""
    for each in with_changes(changes, more):
        path = folder / each.name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(each.data or b"")
    return folder


def call(*words: str) -> Result:
    """Call the command line."""
    return CliRunner().invoke(group, ["reconcile", *words, "--on", ON])


def test_command_tells_contradictions(tmp_path: Path) -> None:
    """The terminal tells the set, where it bites, who says it, what to ask first, and what a procedure says against the facts."""
    result = call(str(put(tmp_path, CHANGED, {"facts/field-reports.csv": REPORTS})))
    assert 1 == result.exit_code, result.output
    for words in (
        "cannot all be true: remote-cap 4, remote-cap 5",
        f"  bites at   Corvane Halyard 2013-2017, {BOTH}, keyed, manual, none",
        "remote-cap 5: 'supplier-note-7' (2021-10-01); supplier-note-7:2:remote-cap",
        "  mend       Ask whether these are right, the least trusted first: remote-cap 5; remote-cap 4.",
        "A vehicle holds no more fobs than it has places for.",
        "against the facts: 'corvane-halyard-relearn-remotes' says remote-cap 5",
        "  believed   remote-cap 4 remotes, confirmed (halyard-handbook:2:remote-cap).",
        "contradictions: 2; of procedures against the facts: 2; not decided: 0; accepted: 0.",
    ):
        assert words in result.output


def test_command_on_the_library() -> None:
    """Where nothing is contradicted the exit status is 0; a vehicle's facts are told with who says them."""
    result = call(str(ROOT / "procedures"), "--vehicle", "Quillon Tang 2015 region-1")
    assert 0 == result.exit_code
    assert "  fob-cap: 6 fobs, confirmed\n" in result.output
    assert "'supplier-note-7' and 'tang-log-2024-05' (members who saw it: 2) say 6, each by itself." in result.output
    assert "  sheet      quillon-tang-add-key" in result.output
    shown = call(str(ROOT / "procedures"), "--vehicle", "Corvane Halyard 2015").output
    both = "Corvane Halyard 2013-2017, region-1|region-2, keyed, manual, none"
    assert f"  one-time-part of {both}, tool: false, confirmed\n" in shown
    assert f"  one-time-part of {both}, on-board: false, confirmed\n" in shown
    assert "nothing: no table speaks of it" in call(str(ROOT / "procedures"), "--vehicle", "Quillon Tong 2015").output


def test_a_belief_about_one_vehicle() -> None:
    """With a vehicle only what changes for it is told."""
    vehicle = read_vehicle("Quillon Tang 2015")
    found = reconcile_files(with_changes(CHANGED), standard(), known_rules(), on=ON, vehicle=vehicle)
    belief = believing(found, "supplier-note-7:2:remote-cap")
    assert ((), (), ()) == (belief.facts, belief.gained, belief.lost)


def test_command_believes(tmp_path: Path) -> None:
    """What would change is told before anyone chooses; and that nothing would."""
    folder = str(put(tmp_path, CHANGED))
    shown = call(folder, "--believe", "supplier-note-7:2:remote-cap").output
    assert "if remote-cap 5 (supplier-note-7:2:remote-cap) were true:\n" in shown
    assert "remotes, confirmed becomes 5" in " ".join(shown.split())
    assert "  right then corvane-halyard-relearn-remotes: remote-cap 5\n" in shown
    assert "nothing changes: every fact stays as it is" in call(folder, "--believe", "supplier-note-7:2:chip-family").output
    assert 2 == call(folder, "--believe", "nobody:2:key-cap").exit_code


def test_command_writes_reports(tmp_path: Path) -> None:
    """The weighed table is CSV that a spreadsheet opens; JSON Lines and Markdown hold the contradictions too."""
    folder = put(tmp_path / "library", CHANGED)
    files = {kind: tmp_path / f"out.{kind}" for kind in ("csv", "lines", "markdown")}
    result = call(str(folder), *(word for kind, file in files.items() for word in ("--report", f"{kind}={file}")))
    assert 1 == result.exit_code
    rows = list(csv.DictReader(io.StringIO(files["csv"].read_bytes().decode(), newline="")))
    [cap] = [row for row in rows if row["attribute"] == "remote-cap" and row["model"] == "Halyard" and row["method"] == "tool"]
    assert ("4", "remotes", "confirmed", "supplier-note-7") == (cap["value"], cap["unit"], cap["standing"], cap["against"])
    lines = [json.loads(line) for line in files["lines"].read_text("utf-8").splitlines()]
    assert {"contradiction": 1, "against-facts": 1} == {
        kind: sum(each["kind"] == kind for each in lines) for kind in ("contradiction", "against-facts")
    }
    assert len(rows) == sum(each["kind"] == "fact" for each in lines)
    shown = files["markdown"].read_text("utf-8")
    assert "| cannot all be true: remote-cap 4, remote-cap 5 | Corvane Halyard 2013-2017, region-1\\|region-2" in shown
    assert "Corvane,Halyard" in call(str(folder), "--report", "csv=-").output


@pytest.mark.parametrize("words", [["--report", "sarif=x"], ["--vehicle", "Corvane"], ["--vehicle", "Corvane Halyard 1899"]])
def test_command_refuses(words: list[str]) -> None:
    """A report of no kind and no vehicle are wrong calls."""
    assert 2 == call(str(ROOT / "procedures"), *words).exit_code


def test_strangers_texts_are_harmless(tmp_path: Path) -> None:
    """What a table says reaches neither terminal, spreadsheet nor Markdown as anything but text."""
    table = "make,model,years,blade-profile\nCorvane,Halyard,2015,=1+1\x1b[2J|x"
    folder = put(tmp_path, (), {"facts/some.csv": table.replace("|", "")})
    assert "\x1b" not in call(str(folder), "--vehicle", "Corvane Halyard 2015").output
    assert ",'=1+1" in call(str(folder), "--report", "csv=-").output
