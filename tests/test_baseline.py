"""What a change brings, by pure functions: states by fingerprint, one bar for both versions, and nothing examined twice."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine import Input, Report, Reported, examine
from proclint.engine.baseline import compared
from proclint.engine.since import Versions, examine_since
from proclint.model import Acceptance
from proclint.results import Harm, Kind, Level, Result, State
from proclint.rule import Rule, Scope
from proclint.settings import UsageProblem
from proclint.source import Place
from proclint.testing import ON, Example

RULES = known_rules()
# Each of these has one way that leads nowhere, or a review of long ago.
LOST = "steps:\n  a: {do: look hood, ways: {open: all-right, closed: nowhere}}\n"
FOLLOWS = "id: follower\nsteps:\n  a: {follow: look-on 1, then: all-right}\n"
BLOCK = "block: look-on\nsteps: {a: {do: look hood, then: ready}}\n"
OLD_REVIEW = "written: {by: m-07, date: 2022-02-02}\nreviewed: {by: m-02, date: 2022-02-11}\n"
ACCEPTED = "- {rule: %s, in: example, because: It is so., by: m-02, on: 2026-03-01, until: %s}\n"


def inputs(files: dict[str, str]) -> tuple[Input, ...]:
    """Complete files as on a rule's page."""
    example = Example(RULES[0], "bad", 1, "".join(f"# file {name}\n{text}" for name, text in files.items()), RULES)
    roles = {"library.yaml": "library", "accepted.yaml": "accepted"}
    return tuple(Input(name, roles.get(name, "steps"), text.encode()) for name, text in example.files.items())


def since(before: dict[str, str], now: dict[str, str], *, rules: tuple[Rule, ...] = RULES) -> Report:
    """Check a change."""
    return examine_since(Versions(inputs(now), inputs(before), "main"), standard(), rules, on=ON)


def brought(report: Report) -> list[tuple[str, str]]:
    """Give rule and subject of what keeps the gate shut."""
    return [(each.rule.id, each.result.subject) for each in report.results if report.is_failing(each)]


def states(report: Report) -> list[tuple[str, str, str]]:
    """Give rule, subject and state of all results about ways, and of those that are gone."""
    assert report.since is not None
    found = (*report.results, *report.accepted, *report.since.absent)
    return [(each.rule.id, each.result.subject, each.state or "") for each in found if each.rule.id == "way-to-nowhere"]


def test_unchanged() -> None:
    """What was there before does not count, wherever it stands now."""
    report = since({"a.yaml": LOST}, {"b/c.yaml": f"# A comment.\n\n{LOST}"})
    assert ([("way-to-nowhere", "nowhere", "unchanged")], []) == (states(report), brought(report))
    assert not report.fails


def test_new_and_gone() -> None:
    """What is new counts, what is gone is told apart with its text."""
    report = since({"a.yaml": LOST}, {"a.yaml": LOST.replace("nowhere", "elsewhere")})
    assert [("way-to-nowhere", "elsewhere", "new"), ("way-to-nowhere", "nowhere", "absent")] == states(report)
    assert [("way-to-nowhere", "elsewhere")] == brought(report)
    assert report.since is not None
    assert "nowhere" in report.since.texts["a.yaml"].text
    assert "main" == report.since.revision


def test_block_changed_under_a_procedure() -> None:
    """A procedure that did not change counts where a block that it follows did."""
    exits = BLOCK + "version: 1\ntitle: An example\nexits: [ready, stuck]\n"
    changed = exits.replace("{do: look hood, then: ready}", "{do: look hood, ways: {open: ready, closed: stuck}}")
    old = BLOCK + "version: 1\ntitle: An example\nexits: [ready]\n"
    before = {"a.yaml": FOLLOWS, "blocks/look-on.yaml": old}
    report = since(before, {**before, "blocks/look-on.yaml": changed})
    assert ("exit-not-wired", "a.yaml") in [
        (each.rule.id, each.result.at.file) for each in report.results if report.is_failing(each)
    ]


def test_file_broken() -> None:
    """A file that can be read no longer keeps the gate shut, and what it said before is gone."""
    report = since({"a.yaml": LOST}, {"a.yaml": f"{LOST}x: [\n"})
    assert ["unreadable-form"] == [rule for rule, _ in brought(report)]
    assert [("way-to-nowhere", "nowhere", "absent")] == states(report)


def test_library_that_is_new() -> None:
    """Where there was nothing, everything is new and the library's own word holds."""
    new = {"a.yaml": LOST, "library.yaml": "name: A book\nlevels: {way-to-nowhere: note}\n"}
    report = since({}, new)
    assert [("way-to-nowhere", "nowhere", "new")] == states(report)
    assert [] == brought(report)


# What a change writes into the library, and what is told of it; the way to nowhere is as new as the change.
LOWERING = {
    "turned off": ({"library.yaml": "name: A\nlevels: {way-to-nowhere: off}\n"}, "way-to-nowhere"),
    "made a note": ({"library.yaml": "name: A\nlevels: {way-to-nowhere: note}\n"}, "way-to-nowhere"),
    "accepted": ({"library.yaml": "name: A\n", "accepted.yaml": ACCEPTED % ("way-to-nowhere", "2026-12-31")}, "way-to-nowhere"),
}


@pytest.mark.parametrize(("now", "subject"), LOWERING.values(), ids=LOWERING)
def test_a_change_cannot_lower_its_own_bar(now: dict[str, str], subject: str) -> None:
    """Levels and acceptances hold as they stood before, and what lies lower is an error of its own."""
    report = since({"library.yaml": "name: A\n"}, {"a.yaml": LOST, **now})
    assert Counter([("way-to-nowhere", "nowhere"), ("bar-lowered", subject)]) == Counter(brought(report))


@pytest.mark.parametrize(
    ("before", "now", "subjects"),
    [
        ("name: A\nfailing-level: warning\n", "name: A\n", ["failing-level"]),
        ("name: A\nfailing-level: warning\n", "", ["failing-level"]),
        ("name: A\nlevels: {review-expired: error}\n", "name: A\n", ["review-expired"]),
        ("name: A\nlevels: {review-expired: error}\n", "", ["review-expired"]),
        ("name: A\nlevels: {review-expired: off}\n", "name: A\n", []),
        ("name: A\n", "name: B\nfailing-level: warning\nlevels: {review-expired: error}\n", []),
        ("", "name: A\nlevels: {review-expired: off}\n", ["review-expired"]),
    ],
)
def test_settings_lowered(before: str, now: str, subjects: list[str]) -> None:
    """Taking a stricter word out, or the settings away, lowers the bar; a stricter word does not."""
    named = [{"library.yaml": text} if text else {} for text in (before, now)]
    report = since({"a.yaml": "", **named[0]}, {"a.yaml": "", **named[1]})
    assert subjects == [subject for rule, subject in brought(report) if rule == "bar-lowered"]


def test_settings_that_cannot_be_read() -> None:
    """Settings of the wrong form are an error by themselves, and the bar is that of before."""
    before = {"a.yaml": "", "library.yaml": "name: A\nfailing-level: warning\n"}
    report = since(before, {"a.yaml": "", "library.yaml": "name: A\nfailing-level: [note]\n"})
    assert ["wrong-shape"] == [rule for rule, _ in brought(report)]
    assert Level.WARNING is report.failing_level


def test_a_draft_again() -> None:
    """A finished procedure that calls itself a draft lowers the bar; a new draft does not."""
    draft = "stage: draft\n"
    assert [("bar-lowered", "example")] == brought(since({"a.yaml": ""}, {"a.yaml": draft}))
    assert [] == brought(since({"a.yaml": ""}, {"a.yaml": "", "b.yaml": f"id: other\n{draft}"}))


ACCEPTED_NOW = ACCEPTED % ("review-expired", "2026-12-31")


@pytest.mark.parametrize(
    ("before", "now", "lowers", "accepts"),
    [
        (ACCEPTED_NOW, ACCEPTED_NOW, False, True),
        (ACCEPTED_NOW, ACCEPTED_NOW.replace("2026-12-31", "2026-11-30"), False, True),
        (ACCEPTED_NOW, ACCEPTED_NOW.replace("It is so", "For another reason"), False, True),
        (ACCEPTED_NOW, ACCEPTED_NOW.replace("2026-12-31", "2027-01-31"), True, False),
        ("[]\n", ACCEPTED_NOW, True, False),
        (ACCEPTED_NOW.replace("in:", "at: a, in:"), ACCEPTED_NOW, True, False),
        (ACCEPTED_NOW.replace("in:", "subject: x, in:"), ACCEPTED_NOW, True, False),
    ],
)
def test_acceptances(before: str, now: str, *, lowers: bool, accepts: bool) -> None:
    """An acceptance holds where it held before, for as much and as long; one that reaches further is an error."""
    book = {"library.yaml": "name: A\nfailing-level: note\n", "a.yaml": OLD_REVIEW}
    report = since({**book, "accepted.yaml": before}, {**book, "accepted.yaml": now})
    assert lowers == ("bar-lowered" in {rule for rule, _ in brought(report)})
    assert accepts == bool([each for each in report.accepted if each.rule.id == "review-expired"])
    assert not [each for each in report.results if each.rule.id == "accepted-in-vain" and each.counts and not lowers]


def test_no_longer_accepted() -> None:
    """What was accepted and is so no longer counts, though it is not new."""
    book = {"library.yaml": "name: A\nfailing-level: note\n", "a.yaml": OLD_REVIEW}
    report = since({**book, "accepted.yaml": ACCEPTED_NOW}, {**book, "accepted.yaml": "[]\n"})
    assert ["review-expired"] == [rule for rule, _ in brought(report)]
    assert [State.UPDATED] == [each.state for each in report.results if each.rule.id == "review-expired"]


def test_one_bad_acceptance_sets_no_other_aside() -> None:
    """An accepted result with a day that does not exist is told, and the others still hold."""
    wrong = ACCEPTED % ("way-to-nowhere", "2026-13-01")
    report = examine(inputs({"a.yaml": OLD_REVIEW, "accepted.yaml": f"{wrong}{ACCEPTED_NOW}"}), standard(), RULES, on=ON)
    assert ["review-expired"] == [each.rule.id for each in report.accepted]
    assert ["wrong-shape"] == [each.rule.id for each in report.results if each.level is Level.ERROR]


def test_list_of_acceptances_that_is_none() -> None:
    """Where the file as a whole has the wrong form, nothing is accepted."""
    report = examine(inputs({"a.yaml": OLD_REVIEW, "accepted.yaml": "rule: review-expired\n"}), standard(), RULES, on=ON)
    assert () == report.accepted


def test_earlier_settings_that_name_no_rule() -> None:
    """Where the earlier version cannot be examined, the message says that it is that one."""
    with pytest.raises(UsageProblem, match=r"^As at main: library.yaml: levels: there is no rule 'gone'"):
        since({"library.yaml": "name: A\nlevels: {gone: off}\n"}, {"a.yaml": ""})


def test_own_words_of_each_version() -> None:
    """Where the library's own words differ, every file is read anew in the words of its version."""
    words = "name: A\nvocabulary: {words: {vague: {%s: {phrases: [in a jiffy], readings: [1 s], write: a time}}}}\n"
    before, now = ({"a.yaml": LOST, "library.yaml": words % word} for word in ("soon", "later"))
    assert [("way-to-nowhere", "nowhere", "unchanged")] == states(since(before, now))


def counting() -> tuple[Rule, list[str]]:
    """Make a rule that finds nothing, and the list of the files that it was run on."""
    seen: list[str] = []

    def count(file: object) -> Iterator[Result]:
        seen.append(getattr(file, "file", ""))
        yield from ()

    return Rule("counting", Scope.FILE, (Level.ERROR,), Harm.TIME, "graph", "A page.", count), seen


BOOK = {
    "a.yaml": "id: one\n",
    "b.yaml": "id: two\nsteps:\n  a: {follow: look-on 1, then: all-right}\n",
    "blocks/look-on.yaml": BLOCK,
    "blocks/other.yaml": BLOCK.replace("look-on", "other"),
}


@pytest.mark.parametrize(
    ("name", "old", "new", "twice"),
    [
        ("a.yaml", "id: one", "id: another", ["a.yaml"]),
        ("blocks/look-on.yaml", "look hood", "look doors", ["b.yaml", "blocks/look-on.yaml"]),
        ("blocks/other.yaml", "look hood", "look doors", ["blocks/other.yaml"]),
        ("a.yaml", "id: one", "id: one", []),
    ],
)
def test_nothing_is_examined_twice(name: str, old: str, new: str, twice: list[str]) -> None:
    """Of two versions only what changed, and what follows a changed block, is examined in both."""
    rule, seen = counting()
    since(BOOK, {**BOOK, name: BOOK[name].replace(old, new)}, rules=(rule,))
    assert twice == sorted(file for file, number in Counter(seen).items() if number == 2)
    assert set(BOOK) == set(seen)


def test_missing_block_is_looked_for_among_all() -> None:
    """A file that follows a block that is missing is examined in both versions where others came or went."""
    lost = {"a.yaml": "steps:\n  a: {follow: look-of 1, then: all-right}\n"}
    for now, times in (({**lost, "b.yaml": BLOCK}, 2), (lost, 1)):
        rule, seen = counting()
        since(lost, now, rules=(rule,))
        assert times == seen.count("a.yaml")


RULE = Rule("no-such-way", Scope.FILE, (Level.ERROR, Level.NOTE), Harm.NO_KEY, "graph", "A page.", lambda: iter(()))
AT = Place.of_file("a.yaml")
ONE = Result("So.", AT, subject="one")
ACCEPTANCE = Acceptance(AT, "no-such-way", "", "a", "", "It is meant.", "m-02", "2026-01-01", "2026-12-31")


@pytest.mark.parametrize(
    ("old", "new", "state", "counts"),
    [
        ({}, {}, State.UNCHANGED, False),
        ({"level": Level.NOTE}, {"level": Level.ERROR}, State.UPDATED, True),
        ({"level": Level.ERROR}, {"level": Level.NOTE}, State.UPDATED, False),
        ({"level": Level.NOTE}, {"level": Level.NOTE, "result": ONE._replace(kind=Kind.OPEN)}, State.UPDATED, True),
        ({}, {"result": ONE._replace(message="Other.")}, State.UPDATED, False),
        ({"acceptance": ACCEPTANCE}, {}, State.UPDATED, True),
        ({}, {"also": (ONE,)}, State.UPDATED, True),
        ({"also": (ONE, ONE)}, {"also": (ONE,)}, State.UPDATED, False),
        ({"also": (ONE,)}, {"also": (ONE._replace(subject="two"),)}, State.UPDATED, True),
        ({"fingerprint": "f2"}, {}, State.NEW, True),
        ({"fingerprint": "f2", "also": (ONE,)}, {"also": (ONE,)}, State.UNCHANGED, False),
        ({"fingerprint": "f2", "also": (ONE,)}, {"also": (ONE._replace(subject="two"),)}, State.NEW, True),
    ],
)
def test_states(old: dict[str, Any], new: dict[str, Any], state: State, *, counts: bool) -> None:
    """A result counts where it is new, weighs more, is accepted no longer or reaches further; not where it reads otherwise."""
    whole = Reported(RULE, Level.ERROR, ONE, "f1")
    before, now = (whole._replace(**each) for each in (old, new))
    sides = [Report(accepted=(each,)) if each.acceptance else Report(results=(each,)) for each in (before, now)]
    report = compared(sides[1], sides[0], "main")
    assert [(state, counts)] == [(each.state, each.counts) for each in report.results]
    assert report.since is not None
    assert (state is State.NEW) == bool(report.since.absent)
