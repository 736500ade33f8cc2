"""A review says what a contribution means, what blocks it, and what was not looked at."""

from collections import Counter
from collections.abc import Mapping
from functools import cache

import pytest

from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.compare import compare_libraries
from proclint.engine import Input
from proclint.engine.since import Versions, examine_since
from proclint.render.review.folio import folio_of
from proclint.render.review.leaf import Findings, Grid, Items, Prose
from proclint.results import State
from proclint.review import Account, Edition, Review, review
from tests.series import LIBRARY, base, states

ON = "2026-06-15"
# Enough to see results come and go; all rules are asked elsewhere.
RULES = tuple(
    rule
    for rule in known_rules()
    if rule.id in ("steps-do-not-fit-window", "hazard-without-caution", "unreadable-form", "bar-lowered")
)
_ROLES = {"library.yaml": "library", "sources.yaml": "sources", "accepted.yaml": "accepted"}
_OTHER_TEXT = "The content differs and the version is {} in both: printed sheets cannot be told apart."


def inputs(files: Mapping[str, str]) -> list[Input]:
    """Give texts by name as the files of a library."""
    return [
        Input(name, "facts" if name.endswith(".csv") else _ROLES.get(name, "steps"), text.encode())
        for name, text in files.items()
    ]


def edition(files: Mapping[str, str]) -> Edition:
    """Lay files out."""
    return Edition.of(inputs(files), RULES, ON)


@cache
def reviewed(name: str) -> Review:
    """Review a contribution of the series."""
    before, now = next((before, now) for each, before, now in states() if each.name == name)
    return review(edition(now), edition(before), RULES, (), against="before")


def account(name: str) -> Account:
    """Give the one account of a contribution."""
    (found,) = reviewed(name).accounts
    return found


# By hand from what `tests/series.py` says that each changes; that a review saw another text is left out.
MEANING = {
    "good change": ["In 'reread', 'wait 10-15 s' is done, before it was 'wait 5-10 s'.", "Version 3, before 2."],
    "cap raised": [
        "From 'before', 'n < 6' leads to 'before-buttons'; before, 'n < 5' did.",
        _OTHER_TEXT.format(3),
    ],
    "caution dropped": ["The caution 'coin-cell' no longer stands before 'one-failed'.", _OTHER_TEXT.format(2)],
    "fallback loop made": [
        "Retry limit of 'flat-fob' 1 to no limit: now nothing limits the tries of 'wake'.",
        "'wake', 'flat-fob' can now go round and round: no number ends it.",
        "'flat-fob' no longer has a way for 'spent', to 'not-counted'.",
        _OTHER_TEXT.format(1),
    ],
    "window tightened": ["Window 'head': at most 5 s, before 15 s.", _OTHER_TEXT.format(3)],
    "block changed": ["In 'off', 'make-sure ignition off' is no longer done.", _OTHER_TEXT.format(2)],
    "file renamed": ["The file 'brindlow/marrow-add-key.yaml' is now 'brindlow/marrow-add-key-with-buttons.yaml'."],
    "vehicles widened": ["Now also for Mirrado Almanac 2016-2017, 2024-2025: 8 applications more.", _OTHER_TEXT.format(1)],
    "formatting only": [],
    "accepted by itself": [
        "'steps-do-not-fit-window' in 'brindlow-marrow-add-key' is now accepted, by m-15, until 2027-05-31: The author is quick.",
        "The list of accepted results 'accepted.yaml' is new.",
    ],
    "level lowered": ["The level of 'hazard-without-caution' is off, before the rule's own."],
    "file broken": [],
}


@pytest.mark.parametrize("name", MEANING)
def test_meaning(name: str) -> None:
    """Each contribution of the series is told in exactly the lines that say what it changes, the most dangerous first."""
    before, now = next((before, now) for each, before, now in states() if each.name == name)
    new, old = edition(now), edition(before)
    found = [each.said for each in compare_libraries(old.studies, new.studies, new.catalogue).differences]
    assert MEANING[name] == [said for said in found if "saw another text" not in said]


def test_series_is_whole() -> None:
    """Every contribution of the series has its meaning here."""
    assert list(MEANING) == [each.name for each, _, _ in states()]


def test_formatting_only() -> None:
    """A contribution that changes no meaning has no file to account for."""
    found = reviewed("formatting only")
    assert ((), (), ()) == (found.accounts, found.others, found.differences)


def test_named_file_without_change() -> None:
    """A file that is named is accounted for even where nothing differs, and says so."""
    before, now = next((before, now) for each, before, now in states() if each.name == "formatting only")
    name = "corvane/halyard-relearn-remotes.yaml"
    (found,) = review(edition(now), edition(before), RULES, [name], against="before").accounts
    assert found.change is not None
    assert (name, ()) == (found.file, found.change.differences)


def test_window_tightened_blocks() -> None:
    """What blocks a contribution stands in the verdict, with what happens; the result is new."""
    found = account("window tightened")
    assert found.verdict.is_blocked
    assert "Blocked by 1: Not even the quickest hand is done within 'head'." == found.verdict.said
    assert ["new"] == [each.state for each in found.results if each.rule.id == "steps-do-not-fit-window"]
    assert "" == found.verdict.lost
    assert (3, 3) == (found.head.was, found.head.version)


def test_dropped_caution_is_in_the_verdict() -> None:
    """A guard that a contribution takes away stands beside the verdict."""
    found = account("caution dropped")
    assert "1 guard is gone: The caution 'coin-cell' no longer stands before 'one-failed'." == found.verdict.lost
    assert found.inside is not None
    assert any(not row.is_answered for row in found.inside.hazards if row.hazard.name == "coin-cell")


def test_results_that_go() -> None:
    """A result that the new version ends is named as gone."""
    before, now = next((before, now) for each, before, now in states() if each.name == "window tightened")
    (found,) = review(edition(before), edition(now), RULES, (), against="after").accounts
    assert ["steps-do-not-fit-window"] == [each.rule.id for each in found.gone]
    assert not found.verdict.is_blocked


def test_renamed_file_keeps_its_results() -> None:
    """A file under another name is the same file: nothing is new in it."""
    found = account("file renamed")
    assert {"unchanged"} == {each.state for each in found.results}
    assert "brindlow/marrow-add-key-with-buttons.yaml" == found.file


def test_broken_file() -> None:
    """A file that cannot be read is accounted for with what is wrong, and what could not be looked at is said."""
    found = account("file broken")
    assert found.verdict.is_blocked
    assert found.inside is None
    assert "The difference in meaning: the new version cannot be read." in found.unchecked
    assert any(line.startswith("Not checked: ") for line in found.unchecked)


@pytest.mark.parametrize(("name", "file"), [("accepted by itself", "accepted.yaml"), ("level lowered", "library.yaml")])
def test_registers_have_no_account(name: str, file: str) -> None:
    """What differs in a register stands beside the accounts."""
    found = reviewed(name)
    assert ((), [file]) == (found.accounts, [each.new for each in found.others])


def test_changed_block() -> None:
    """A block that differs has the account; the procedures that follow it are named, and are not accounted for themselves."""
    found = reviewed("block changed")
    assert ["blocks/close-out.yaml"] == [each.file for each in found.accounts]
    assert found.accounts[0].change is not None
    assert 3 == len(found.accounts[0].change.reaches)
    assert 3 == len(found.others)
    assert (False, "Nothing was found.") == (found.accounts[0].verdict.is_blocked, found.accounts[0].verdict.said)


def test_verdict_on_a_block_looks_at_who_follows_it() -> None:
    """What a block brings to the procedures that follow it blocks the block, and is said in its verdict."""
    before, now = next((before, now) for each, before, now in states() if each.name == "block changed")
    rules = tuple(rule for rule in known_rules() if rule.id in ("left-open-at-end", "caution-on-one-branch"))
    (found,) = review(
        Edition.of(inputs(now), rules, ON), Edition.of(inputs(before), rules, ON), rules, (), against="before"
    ).accounts
    said = "Blocked by 2 in procedures that follow it: The job ends while 'ignition' is on; The job ends while 'ignition' is on."
    assert (True, said) == (found.verdict.is_blocked, found.verdict.said)


# What else may be found than in the file that a contribution changes: the file, what stands there, and what it becomes.
FAR = {
    "a fact": ("facts/marrow-bulletin.csv", "integrated,false,5,5,crypto-80", "integrated,false,8,5,crypto-80"),
    "a source": ("sources.yaml", "  - id: marrow-bulletin\n", "  - id: marrow-note\n"),
    "a block": ("blocks/close-out.yaml", "make-sure ignition off, make-sure cylinder empty, ", "make-sure cylinder empty, "),
    "a level": ("library.yaml", "trust:\n", "levels: {hazard-without-caution: off}\ntrust:\n"),
}


@pytest.mark.parametrize("what", FAR)
def test_review_shows_what_the_gate_tells(what: str) -> None:
    """What a contribution brings anywhere in the library, and what weighs more than it did, stands in its review."""
    name, old, new = FAR[what]
    before = base()
    assert 1 == before[name].count(old)
    assert_same_as_the_gate(before, before | {name: before[name].replace(old, new)})


def test_another_sheet_for_the_same_job() -> None:
    """A new procedure for vehicles of another is told in the other too, where they disagree."""
    before = base()
    text = before["brindlow/marrow-add-key.yaml"].replace("id: brindlow-marrow", "id: another-marrow")
    now = {"another.yaml": text.replace("learning: add", "learning: by-prompt"), **before}
    found = assert_same_as_the_gate(before, now)
    assert ["brindlow/marrow-add-key.yaml"] == [
        each.result.at.file for each in found.results_around if each.rule.id == "two-procedures-disagree"
    ]


def assert_same_as_the_gate(before: Mapping[str, str], now: Mapping[str, str]) -> Review:
    """Assert that a review of a change shows what the gate finds new or worse; give the review."""
    rules = known_rules()
    told = examine_since(Versions(tuple(inputs(now)), tuple(inputs(before)), "before"), standard(), rules, on=ON)
    expected = Counter((each.fingerprint, each.state) for each in told.results if each.state is not State.UNCHANGED)
    assert expected
    found = review(Edition.of(inputs(now), rules, ON), Edition.of(inputs(before), rules, ON), rules, (), against="before")
    shown = [each for account in found.accounts for each in account.results] + list(found.results_around)
    assert expected == Counter((each.fingerprint, each.state) for each in shown if each.state is not State.UNCHANGED)
    assert told.fails == found.report.fails
    return found


def test_lead_says_what_lies_elsewhere() -> None:
    """Before all files stands what was found and what differs in others, and 'no change' only where all was compared."""
    lead = folio_of(reviewed("accepted by itself")).lead
    assert (
        "0 files accounted for, held against before. In other files: 1 error, 0 warnings, 0 notes. 1 other file differs." == lead
    )
    assert folio_of(reviewed("formatting only")).lead.endswith("before. No change in meaning.")
    broken = folio_of(reviewed("file broken"))
    assert "No change in meaning" not in broken.lead
    assert ["not compared"] == [each.in_short for each in broken.leaves[0].sections if each.title == "Difference in meaning"]
    now = next(now for each, _, now in states() if each.name == "good change")
    alone = review(edition(now), None, RULES, ["brindlow/marrow-add-key.yaml"])
    assert "1 file accounted for, held against nothing." == folio_of(alone).lead


def test_endings_without_an_original_are_not_unproved() -> None:
    """Where no original is here none could be tried: such an ending is not counted among those with originals not tried."""
    files = base() | {"lode.yaml": (LIBRARY / "varnholt/lode-all-keys-lost-by-code.yaml").read_text(encoding="utf-8")}
    (leaf,) = folio_of(review(edition(files), None, RULES, ["lode.yaml"])).leaves
    (ways,) = (each for each in leaf.sections if each.title == "Ways")
    (grid, *_) = ways.parts
    assert isinstance(grid, Grid)
    tried = [row[4] for row in grid.rows]
    assert "none is here" in tried
    assert f"{sum(each in ('no', 'not on every way') for each in tried)} of them" in ways.in_short


def test_reviews_of_a_changed_block_are_listed() -> None:
    """Files that only follow a block that differs do not count as differing; that their review saw another block is listed."""
    folio = folio_of(reviewed("block changed"))
    assert "1 file accounted for, held against before." == folio.lead
    (section,) = folio.sections
    assert ("Other files", "0 files differ") == (section.title, section.in_short)
    told, listed = section.parts
    assert Prose("They do not differ, but a block does that they follow:") == told
    assert isinstance(listed, Items)
    assert 3 == len(listed.items)
    assert all(" saw another text of the block 'close-out'." in item for item in listed.items)


def test_a_block_that_is_gone() -> None:
    """A block that is gone stands among the other files, with who follows it."""
    before = base()
    now = {name: text for name, text in before.items() if name != "blocks/no-answer.yaml"}
    found = review(edition(now), edition(before), RULES, (), against="before")
    (section,) = (each for each in folio_of(found).sections if each.title == "Other files")
    followers = "brindlow-marrow-add-key, corvane-halyard-relearn-remotes, mirrado-almanac-verify-fobs"
    assert Prose(f"Procedures that follow it: {followers}.") in section.parts


def test_times_that_are_not_known_are_told_together() -> None:
    """Where rounds have no end no ending has a longest time, and one line says so."""
    said = [line for line in account("fallback loop made").unchecked if line.startswith("The longest time")]
    assert 1 == len(said)
    assert said[0].endswith(": there are rounds that no number ends.")


def test_results_of_one_cause_name_their_files() -> None:
    """Where one cause has results in several files, the one that is told names the others."""
    before = base()
    text = before["blocks/battery-support.yaml"]
    now = text.replace(
        "caution: [battery-gas-spark, support-overvoltage]\n    instruction", "caution: support-overvoltage\n    instruction"
    )
    assert now != text
    rules = tuple(rule for rule in known_rules() if rule.id == "caution-on-one-branch")
    changed = Edition.of(inputs(before | {"blocks/battery-support.yaml": now}), rules, ON)
    found = review(changed, Edition.of(inputs(before), rules, ON), rules, ())
    (section,) = (each for each in folio_of(found).sections if each.title == "Results in other files")
    (part,) = section.parts
    assert isinstance(part, Findings)
    assert ["1 more from this cause, in corvane/halyard-relearn-remotes.yaml"] == [dict(each.said)["also"] for each in part.found]


def test_head_of_a_procedure() -> None:
    """The head names vehicles, who wrote and reviewed, and each source with its rank."""
    head = account("window tightened").head
    assert ("m-06", "m-15") == (head.reviewed and head.reviewed.by, head.written and head.written.by)
    assert head.vehicles
    assert all(source.kind and source.rank for source in head.sources)
    assert "add-key" == head.task


def test_unchecked_is_never_silent() -> None:
    """Work that the model does not know and questions that only a person answers are named."""
    said = " ".join(account("window tightened").unchecked)
    assert "Work that the model does not know, taken as without effect" in said


def test_without_an_old_edition_nothing_is_compared() -> None:
    """A file alone has an account without a difference and without states of its results."""
    now = next(now for each, _, now in states() if each.name == "window tightened")
    (found,) = review(edition(now), None, RULES, ["brindlow/marrow-add-key.yaml"]).accounts
    assert found.change is None
    assert {None} == {each.state for each in found.results}
    assert (0, ()) == (found.head.was, found.gone)
