"""From files to a report: settings, accepted results, context, faults of our own, and one result for one cause."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from proclint import rules
from proclint.apps.cli import group
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, Reported, examine, place_of
from proclint.engine.fold import fold
from proclint.engine.vehicle import about, read_vehicle
from proclint.results import Harm, Kind, Level, Result
from proclint.rule import Rule, Scope, rules_in
from proclint.settings import UsageProblem
from proclint.source import Limits, Place
from proclint.testing import ON, Example, check

RULES = rules_in(rules)
BY_ID = {rule.id: rule for rule in RULES}
LOST = """steps:
  a: {do: look hood, ways: {open: b, closed: nowhere}}
  b: {do: look on-lamp, ways: {lit: all-right, dark: elsewhere}}
fallbacks:
  c: {do: wait 1 s, then: all-right}
"""


def whole(text: str) -> str:
    """Fill in what a procedure or block leaves out, as on a rule's page."""
    (found,) = Example(RULES[0], "bad", 1, text, RULES).files.values()
    return found


def examined(*inputs: Input, chosen: tuple[Rule, ...] = RULES, on: str = ON) -> Report:
    """Check files as they are."""
    return examine(inputs, standard(), chosen, on=on)


def library(**files: str) -> Report:
    """Check the bad procedure with the files of a library, each named without its ending."""
    named = {f"{name}.yaml": text for name, text in files.items()}
    return check({"job.yaml": whole(LOST), **named}, RULES)


def found(report: Report) -> list[tuple[str, str, str]]:
    """Give rule, subject and level of the results about ways to nowhere."""
    return [(each.rule.id, each.result.subject, each.level) for each in report.results if each.rule.id == "way-to-nowhere"]


BOTH = [("way-to-nowhere", "nowhere", "error"), ("way-to-nowhere", "elsewhere", "error")]


def test_a_file_has_its_results() -> None:
    """Without a library's word, every rule has its own level, and an error fails the check."""
    report = library()
    assert BOTH == found(report)
    assert report.fails
    assert 2 <= report.count(Level.ERROR)


@pytest.mark.parametrize(
    ("settings", "expected", "fails"),
    [
        ("levels: {way-to-nowhere: off, unreachable-step: off}", [], False),
        ("levels: {way-to-nowhere: note, unreachable-step: note}", [(*each[:2], "note") for each in BOTH], False),
        (
            "levels: {way-to-nowhere: note, unreachable-step: note}\nfailing-level: note",
            [(*each[:2], "note") for each in BOTH],
            True,
        ),
        ("levels: {unreachable-step: error}", BOTH, True),
        ("failing-level: error", BOTH, True),
    ],
)
def test_settings(settings: str, expected: list[tuple[str, str, str]], *, fails: bool) -> None:
    """A library turns rules off and changes their levels, and says from which level on a check fails."""
    report = library(library=f"name: A library\nformat: 1\n{settings}\n")
    assert expected == found(report)
    assert fails == report.fails


def test_raised_level_is_that_of_the_result() -> None:
    """A rule raised from warning to error gives errors."""
    report = library(library="name: A library\nformat: 1\nlevels: {unreachable-step: error}\n")
    levels = {each.level for each in report.results if each.rule.id == "unreachable-step"}
    assert {Level.ERROR} == levels


def test_settings_name_rules_that_exist() -> None:
    """A library that sets the level of no rule is told so, and nothing is checked."""
    with pytest.raises(UsageProblem, match=r"library\.yaml: levels: there is no rule 'no-such-rule'\."):
        library(library="name: A library\nformat: 1\nlevels: {no-such-rule: off}\n")


def test_settings_of_the_wrong_form_are_none() -> None:
    """A library file that cannot be read sets nothing, and has a result itself."""
    report = library(library="name: A library\nlevels: [way-to-nowhere]\n")
    assert BOTH == found(report)
    assert "library.yaml" in {each.result.at.file for each in report.results}


ACCEPTED = "- {rule: way-to-nowhere, in: example, because: The way is written next week., by: m-07, on: 2026-05-01, %s}\n"


@pytest.mark.parametrize(
    ("more", "left", "in_vain"),
    [
        ("until: 2026-09-01", [], False),
        ("until: 2026-06-01", [], False),
        ("until: 2026-05-31", BOTH, True),
        ("subject: nowhere, until: 2026-09-01", BOTH[1:], False),
        ("at: b, until: 2026-09-01", BOTH[:1], False),
        ("at: b, subject: nowhere, until: 2026-09-01", BOTH, True),
    ],
)
def test_accepted_results(more: str, left: list[tuple[str, str, str]], *, in_vain: bool) -> None:
    """What a person accepted stands apart up to its last day, for the step and subject named; what meets nothing is told."""
    report = library(accepted=ACCEPTED % more)
    assert left == found(report)
    assert 2 - len(left) == len(report.accepted)
    assert all(each.acceptance is not None and each.acceptance.by == "m-07" for each in report.accepted)
    assert in_vain == ("accepted-in-vain" in {each.rule.id for each in report.results})


def test_the_wrong_form_is_never_accepted() -> None:
    """A file of the wrong form and data of a customer keep their results, whatever is accepted."""
    spoilt = whole("title: [no, text]\nsteps: {a: {do: insert O1, then: all-right}}\n")
    accepted = "- {rule: wrong-shape, in: example, because: So it is., by: m-07, on: 2026-05-01, until: 2026-09-01}\n"
    report = check({"job.yaml": spoilt, "accepted.yaml": accepted}, RULES)
    assert () == report.accepted
    assert "wrong-shape" in {each.rule.id for each in report.results}
    assert ["job.yaml"] == [note.file for note in report.not_checked]


def test_context_is_followed_and_not_told() -> None:
    """A block that is only there to be followed wires its callers, and has no results and no place among the files."""
    block = whole("block: wash\nexits: [clean, dirty]\nsteps: {a: {do: insert Z1, then: nowhere}}\n").encode()
    job = whole("steps: {a: {follow: wash 1, then: all-right}}\n").encode()
    report = examined(Input("job.yaml", "steps", job), Input("wash.yaml", "steps", block, is_context=True))
    assert ("job.yaml",) == report.files
    assert {"job.yaml"} == {each.result.at.file for each in report.results}
    assert "exit-not-wired" in {each.rule.id for each in report.results}
    broken = examined(Input("job.yaml", "steps", job), Input("wash.yaml", "steps", b"block: [", is_context=True))
    assert {"job.yaml"} == {each.result.at.file for each in broken.results}


def test_block_names_who_follows_it() -> None:
    """What is found in a block says which procedures it reaches."""
    block = whole("block: wash\nexits: [clean]\nsteps: {a: {do: insert K, then: nowhere}}\n")
    job = whole("steps: {a: {follow: wash 1, then: all-right}}\n")
    report = check({"job.yaml": job, "blocks/wash.yaml": block}, RULES)
    reaches = {each.reaches for each in report.results if each.rule.id == "way-to-nowhere"}
    assert {("example",)} == reaches


@pytest.mark.parametrize("data", [None, b"#" * (Limits().size + 1)])
def test_large_file_is_refused(data: bytes | None) -> None:
    """A file over the limit is one result and is not looked at, whether its bytes were read or not."""
    report = examined(Input("large.yaml", "steps", data))
    (result,) = [each.result for each in report.results]
    assert f"This file is larger than {Limits().size // 1024} KiB." == result.message
    assert (1, 1) == place_of(report, result.at)


def test_place_in_a_file_that_was_not_given() -> None:
    """A place in an unknown file is its beginning."""
    assert (1, 1) == place_of(Report(), Place("gone.yaml", (), None, (7, 9)))


def test_progress_is_told_twice_a_file() -> None:
    """Each file is named once when it is read and once when it is checked."""
    seen: list[str] = []
    examine([Input("a.yaml", "steps", whole(LOST).encode())], standard(), RULES, on=ON, progress=seen.append)
    assert ["a.yaml", "a.yaml"] == seen


WORDS = """name: A library
format: 1
vocabulary:
  actions:
    polish: {patterns: ['polish {key}'], parameters: {key: key}, actor: technician, takes: 5-10-20 s, say: 'Polish {key}.'}
"""


def test_words_of_the_library() -> None:
    """A verb that the library adds can be used; without it the line cannot be read."""
    job = whole("steps: {a: {do: polish O1, then: all-right}}\n")
    shape = {rule.id for rule in RULES if rule.group == "shape"}
    without = {each.rule.id for each in check({"job.yaml": job}, RULES).results}
    within = {each.rule.id for each in check({"job.yaml": job, "library.yaml": WORDS}, RULES).results}
    assert without & shape
    assert not within & shape


def test_words_that_clash() -> None:
    """A verb that the trade has already is refused with the file's name, and nothing is checked."""
    with pytest.raises(UsageProblem, match=r"^library\.yaml: vocabulary: .*insert"):
        library(library=WORDS.replace("polish", "insert"))


def crash(*_: object) -> Iterator[Result]:
    """Break down, as a rule with a fault does."""
    nothing: dict[str, Result] = {}
    yield nothing["not there"]


def refuse(*_: object) -> Iterator[Result]:
    """Refuse the settings, as a house rule does that is set up wrongly."""
    raise UsageProblem("The house rule is not set up.", "Set it up.")


def broken(check_: object, scope: Scope) -> Rule:
    """Make a rule of a function that yields nothing."""
    return BY_ID["way-to-nowhere"]._replace(id="breaks-down", scope=scope, check=check_)  # type: ignore[arg-type]


@pytest.mark.parametrize(("scope", "file"), [(Scope.FILE, "job.yaml"), (Scope.FLOW, "job.yaml"), (Scope.LIBRARY, "")])
def test_rule_that_breaks_down(scope: Scope, file: str) -> None:
    """A rule that breaks down is a fault of our own with its name and file; all other rules still speak."""
    given = Input("job.yaml", "steps", whole(LOST).encode())
    report = examined(given, chosen=(broken(crash, scope), *RULES))
    (fault,) = report.own_faults
    assert ("breaks-down", file) == (fault.rule, fault.file)
    assert fault.error.startswith("KeyError: 'not there' (crash, line ")
    assert BOTH == found(report)


PAGE = '"""A page."""\nfrom proclint.results import Harm, Level\nfrom proclint.rule import flow_rule\n'
CODE = "@flow_rule(Level.NOTE, harm=Harm.READER)\ndef falls_over(flow, study):\n    yield 1 / 0\n"


def test_broken_rule_has_an_exit_status_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A check in which a rule broke down ends with 3, even on a procedure with no other fault."""
    (tmp_path / "house").mkdir()
    (tmp_path / "house" / "__init__.py").touch()
    (tmp_path / "house" / "falls_over.py").write_text(PAGE + CODE, encoding="utf-8")
    job = tmp_path / "job.yaml"
    job.write_text(whole("title: A job\n").replace("here: 1", "here: 1, head: plain"), encoding="utf-8")
    monkeypatch.setattr(rules, "__path__", [*rules.__path__, str(tmp_path)])
    known_rules.cache_clear()
    try:
        done = CliRunner().invoke(group, ["examine", str(job), "--on", ON])
    finally:
        known_rules.cache_clear()
        for name in ("proclint.rules.house.falls_over", "proclint.rules.house"):
            sys.modules.pop(name, None)
    assert 3 == done.exit_code, done.output
    assert "ZeroDivisionError: division by zero (falls_over, line 6)" in done.output


def test_rule_that_refuses_the_settings() -> None:
    """A rule that says the settings are wrong is believed: that is no fault of our own."""
    with pytest.raises(UsageProblem, match="The house rule is not set up"):
        examined(Input("job.yaml", "steps", whole(LOST).encode()), chosen=(broken(refuse, Scope.FILE),))


def result(message: str, offset: int, *, because: int | None = None, subject: str = "", kind: Kind = Kind.FAIL) -> Result:
    """Make a result at an offset."""
    at = Place("a.yaml", (offset,), None, (offset, offset + 1))
    cause = Place("a.yaml", (because,), None, (because, because + 1)) if because is not None else None
    return Result(message, at, because=cause, subject=subject, kind=kind)


def reported(rule: str, level: Level, given: Result) -> Reported:
    """Report a result under a rule."""
    return Reported(BY_ID["way-to-nowhere"]._replace(id=rule), level, given)


def folded(*each: Reported) -> dict[str, list[str]]:
    """Give each head with what is under it."""
    return {one.result.message: [result.message for result in one.also] for one in fold(each)}


def test_same_rule_subject_and_cause_are_one() -> None:
    """Results of one rule about one subject with one cause stand under the first of them; another subject stands alone."""
    one, two = (reported("a", Level.ERROR, result(word, at, because=9, subject="s")) for word, at in (("one", 1), ("two", 2)))
    other = reported("a", Level.ERROR, result("other", 3, because=9, subject="t"))
    assert {"one": ["two"], "other": []} == folded(two, other, one)


def test_what_an_error_causes_goes_under_it() -> None:
    """A result whose cause is the place of another rule's error goes under that error; a warning takes nothing in."""
    follows = reported("b", Level.ERROR, result("follows", 1, because=5))
    assert {"cause": ["follows"]} == folded(follows, reported("a", Level.ERROR, result("cause", 5)))
    assert {"cause": [], "follows": []} == folded(follows, reported("a", Level.WARNING, result("cause", 5)))


def test_two_errors_at_one_place_are_two() -> None:
    """Two errors without another cause stay two, and what they cause goes under one of them."""
    one, two = reported("a", Level.ERROR, result("one", 5)), reported("b", Level.ERROR, result("two", 5))
    heads = folded(one, two, reported("c", Level.NOTE, result("follows", 1, because=5)))
    assert {"one", "two"} == set(heads)
    assert [[], ["follows"]] == sorted(heads.values())


@pytest.mark.parametrize(("harm", "weighs"), [(Harm.NO_KEY, Level.ERROR), (Harm.LIFE, Level.ERROR), (Harm.TIME, Level.NOTE)])
def test_undecided_about_danger_weighs_as_an_error(harm: Harm, weighs: Level) -> None:
    """What could not be decided about life or access counts as an error for the exit status, whatever its level."""
    each = Reported(BY_ID["way-to-nowhere"]._replace(harm=harm), Level.NOTE, result("open", 1, kind=Kind.OPEN))
    report = Report(results=(each,))
    assert weighs is each.weighs
    assert (weighs is Level.ERROR) == report.fails
    assert (1, 0) == (report.undecided, report.count(Level.NOTE))


MADE = "id: {id}\nvehicles: [{{make: {make}, model: Halyard, years: {years}, markets: [region-1], ignition-kind: keyed}}]\n"
SHELF = {
    "met.yaml": MADE.format(id="met", make="Corvane", years="2013-2017"),
    "later.yaml": MADE.format(id="later", make="Corvane", years="2018-2019"),
    "other.yaml": MADE.format(id="other", make="Ostrel", years="2013-2017"),
    "wrong.yaml": MADE.format(id="wrong", make="Corvane", years="2017-2013"),
    "torn.yaml": "id: torn\nsteps: [",
    "block.yaml": "block: look-on\nexits: [ready]\nsteps: {a: {do: look hood, then: ready}}\n",
}


def asked_of(vehicle: str) -> list[str]:
    """Name the files of a small library that are asked about where a vehicle is."""
    given = [Input(name, "steps", whole(text).encode()) for name, text in SHELF.items()]
    given += [Input("facts/note.csv", "facts", b"make,model\nCorvane,Halyard\n")]
    given += [given[0]._replace(name="followed.yaml", is_context=True)]
    found = about(read_vehicle(vehicle), given, standard(), on=ON)
    assert [each.name for each in given] == [each.name for each in found]
    return [each.name for each in found if not each.is_context]


def test_procedures_of_a_vehicle() -> None:
    """Of a vehicle the procedures are checked that apply to it; all else, and what applies to none, is there to be followed."""
    assert ["met.yaml"] == asked_of("Corvane Halyard 2015 region-1")
    assert ["met.yaml", "later.yaml"] == asked_of("Corvane Halyard")
    assert ["other.yaml"] == asked_of("Ostrel Halyard")


def test_vehicle_without_a_procedure() -> None:
    """Where no procedure applies to a vehicle nothing could be checked, and that is said."""
    with pytest.raises(UsageProblem, match=r"^--vehicle: no procedure applies to 'Corvane Halyard 2025'"):
        asked_of("Corvane Halyard 2025")
