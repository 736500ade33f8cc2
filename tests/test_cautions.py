"""Where cautions stand and what they are called.

Signal words: ANSI Z535.4-2007, 4.14.1 to 4.14.4, and Z535.6-2011, whose table is known from quotations of the clauses and not
read in the standard itself; its row for a minor injury that will happen is from memory. Placing: MIL-DTL-87268D, 3.2.2.2 and
3.2.2.4, and MIL-DTL-23618H(AS), 3.1.5.3, both read as published; S1000D Issue 6 as quoted. Statements: OASIS DITA 1.3,
`hazardstatement`, whose examples are given here in words of our own. Repeated and timed steps: DOE-STD-1029-92. All else is
common practice, no source.
"""

import json
from itertools import product

import pytest

from proclint import rules
from proclint.catalogue import standard
from proclint.rule import Rule, rules_in
from proclint.testing import check, completed

RULES = {rule.id: rule for rule in rules_in(rules)}
PLACING = ("hazard-without-caution", "caution-after-hazard", "caution-on-one-branch", "loop-reenters-past-caution")
SPARK = "battery-gas-spark"
BEGIN = "start: {ignition: off, cylinder: O1, support: none, hood: closed}\n"
CLIP = "do: connect-support 13.5 V"


def asked(*names: str) -> tuple[Rule, ...]:
    """Give rules by name."""
    return tuple(RULES[name] for name in names)


def found(text: str, *names: str, blocks: dict[str, str] | None = None) -> list[tuple[str, str]]:
    """Give the rules and subjects of the results for a file, and of what is folded under them; the file is completed."""
    files = {"example.yaml": text, **(blocks or {})}
    report = check({name: completed(name, each) for name, each in files.items()}, asked(*names))
    assert () == report.own_faults
    assert () == report.not_checked
    return sorted((each.rule.id, result.subject) for each in report.results for result in (each.result, *each.also))


def placed(text: str, **blocks: str) -> list[str]:
    """Give under which rules the spark is told."""
    shelf = {f"blocks/{name}.yaml": each for name, each in blocks.items()}
    return [rule for rule, subject in found(BEGIN + text, *PLACING, blocks=shelf) if subject == SPARK]


def own(signal: str, hazard: str, consequence: str, avoid: str = "Keep away from it.") -> str:
    """Give a procedure with one caution of its own."""
    parts = json.dumps({"signal": signal, "hazard": hazard, "consequence": consequence, "avoid": avoid})
    return f"steps:\n  look-on: {{caution: [own], do: look hood, then: all-right}}\ncautions:\n  own: {parts}\n"


def said(text: str) -> list[str]:
    """Give the rules about the words of a caution that find something."""
    return [rule for rule, _ in found(text, "signal-word-too-low", "signal-word-too-high", "caution-incomplete")]


# Signal words.

WORDS = {
    ("death-or-serious-injury", "will"): "DANGER",
    ("death-or-serious-injury", "could"): "WARNING",
    ("minor-or-moderate-injury", "will"): "CAUTION",
    ("minor-or-moderate-injury", "could"): "CAUTION",
    ("no-injury", "will"): "NOTICE",
    ("no-injury", "could"): "NOTICE",
}


def test_signal_words_are_those_of_the_table() -> None:
    """Severity and likelihood have the signal words of ANSI Z535.4, 4.14, and each hazard has that of its own."""
    assert WORDS == dict(standard().signal_words)
    hazards = standard().hazards.values()
    assert [WORDS[each.severity, each.likelihood] for each in hazards] == [each.signal for each in hazards]


TOLD = {
    "It kills at once.": {"danger", "warning"},
    "It can pinch.": {"caution"},
    "You can be injured.": {"danger", "warning", "caution"},
    "The list is erased.": {"notice"},
    "It cannot be foreseen.": {"danger", "warning", "caution", "notice"},
}
SIGNALS = ("danger", "warning", "caution", "notice")


@pytest.mark.parametrize(("text", "signal"), [*product(TOLD, SIGNALS)])
def test_own_signal_word_fits_what_is_said(text: str, signal: str) -> None:
    """A signal word of the file's own is one that ANSI Z535.4 has for what the words say, or it is told how it misses."""
    fits = [SIGNALS.index(each) for each in SIGNALS if each in TOLD[text]]
    rank = SIGNALS.index(signal)
    expected = ["signal-word-too-low"] if rank > max(fits) else ["signal-word-too-high"] if rank < min(fits) else []
    assert expected == said(own(signal, "There is something under the mat.", text))


@pytest.mark.parametrize(
    ("signal", "hazard", "consequence", "avoid"),
    [
        ("danger", "A blade turns.", "Parts that move can crush and cut.", "Lock it off before you work on it."),
        ("warning", "It is hot inside.", "Touching it might burn.", "Put on gloves before you reach inside."),
        ("caution", "It is heavy.", "Lifting it might result in injury.", "See the safety sheet for how to lift it."),
        ("notice", "The cell is low.", "The tool goes dark.", "Push the button and look at the lamp."),
    ],
)
def test_statements_after_the_examples_of_dita_are_good(signal: str, hazard: str, consequence: str, avoid: str) -> None:
    """A statement of each of the four types, made after the worked examples of DITA 1.3, gives nothing."""
    assert [] == said(own(signal, hazard, consequence, avoid))


def test_statement_says_how_to_avoid_it() -> None:
    """A statement without a way to avoid the hazard, which DITA 1.3 asks for in each (`howtoavoid+`), is told."""
    assert ["caution-incomplete"] == said(own("warning", "It is hot inside.", "It can burn you.", "Caution! Be careful."))


@pytest.mark.parametrize(
    ("hazard", "consequence", "part"),
    [
        ("Attention!", "It can burn you.", "hazard"),
        ("It can burn you.", "It can burn you!", "consequence"),
        ("It is hot inside.", "Keep away from it.", "consequence"),
        ("It is hot inside.", "Beware.", "consequence"),
    ],
)
def test_each_part_says_something_of_its_own(hazard: str, consequence: str, part: str) -> None:
    """A part with empty words, or with those of another part, is told by its name."""
    report = check({"example.yaml": completed("example.yaml", own("caution", hazard, consequence))}, asked("caution-incomplete"))
    assert [f"The part '{part}' of this caution tells the reader nothing."] == [each.result.message for each in report.results]


@pytest.mark.parametrize(
    ("consequence", "expected"),
    [
        ("It burns the board.", []),
        ("It burns.", ["signal-word-too-low"]),
        ("It burns your hand and the board.", ["signal-word-too-low"]),
        ("The board fails. It burns.", ["signal-word-too-low"]),
        ("The screen says 'KILLS ALL KEYS'.", []),
    ],
)
def test_what_burns_decides(consequence: str, expected: list[str]) -> None:
    """To burn a thing is no injury, to burn is; what a screen says is not read."""
    assert expected == said(own("notice", "There is something under the mat.", consequence))


def test_harm_to_people_in_other_words_is_not_too_high() -> None:
    """Where people are named, a strong word is not called too strong, whatever verbs are known."""
    assert [] == said(own("warning", "The fan starts without notice.", "You can lose a finger and damage the fan."))


# Where a caution stands.


def test_caution_of_the_step_precedes_its_lines() -> None:
    """A caution at a step stands before its first line (MIL-DTL-87268D, 3.2.2.2; S1000D: first item within the step)."""
    assert [] == placed(f"steps:\n  clip: {{caution: [{SPARK}], {CLIP}, then: all-right}}\n")


def test_caution_of_the_next_step_is_too_late() -> None:
    """A caution at the step behind the one it is for does not precede it (MIL-DTL-87268D, 3.2.2.2)."""
    text = f"steps:\n  clip: {{{CLIP}}}\n  look-on: {{caution: [{SPARK}], do: look hood, then: all-right}}\n"
    assert ["caution-after-hazard"] == placed(text)


def test_nowhere() -> None:
    """A hazard whose caution stands nowhere is told as without one."""
    assert ["hazard-without-caution"] == placed(f"steps:\n  clip: {{{CLIP}, then: all-right}}\n")


BRANCHES = """\
steps:
  fork: {{do: look battery, ways: {{low: one, otherwise: other, fails: other}}}}
  one: {{caution: [{one}], do: look hood, then: clip}}
  other: {{caution: [{other}], do: look hood, then: clip}}
  clip: {{do: connect-support 13.5 V, then: all-right}}
"""


def test_two_branches_may_each_carry_it() -> None:
    """A caution on each branch is on every way; on one of them only it is told."""
    assert [] == placed(BRANCHES.format(one=SPARK, other=SPARK))
    assert ["caution-on-one-branch"] == placed(BRANCHES.format(one=SPARK, other="hot-parts"))


def test_caution_in_a_block_counts() -> None:
    """A caution inside a block that is followed before the hazard stands before it."""
    block = f"block: warn\nsteps:\n  read-it: {{caution: [{SPARK}], do: look hood, then: ready}}\n"
    text = f"steps:\n  first: {{follow: warn 1}}\n  clip: {{{CLIP}, then: all-right}}\n"
    assert [] == placed(text, warn=block)


def test_hazard_in_a_block_is_told_once() -> None:
    """What a block does without a caution is one result, however often the block is followed."""
    block = f"block: clip\nsteps:\n  clip: {{{CLIP}, then: ready}}\n"
    text = (
        "steps:\n  first: {follow: clip 1}\n  second: {do: make-sure support none}\n  third: {follow: clip 1, then: all-right}\n"
    )
    report = check({"example.yaml": completed("e", BEGIN + text), "blocks/clip.yaml": completed("c", block)}, asked(PLACING[0]))
    causes = [(each.result.because or each.result.at).file for each in report.results if each.result.subject == SPARK]
    assert ["blocks/clip.yaml", "example.yaml"] == sorted(causes)


RETRY = """\
steps:
  warn: {{caution: [{warn}], do: look hood}}
  clip: {{caution: [{clip}], do: connect-support 13.5 V, then: all-right, fails: clean}}
fallbacks:
  clean: {{tries: 1, do: {{do: act clean the posts, by: technician}}, ways: {{done: {back}, spent: as-it-was}}}}
endings:
  all-right: {{kind: success, tell: It works.}}
  as-it-was: {{kind: as-found, tell: Nothing was changed.}}
"""


def test_retry_meets_the_caution_again() -> None:
    """A retry past the caution, or to a step that has it, is met; one that comes back behind the caution is told."""
    assert [] == placed(RETRY.format(warn=SPARK, clip="hot-parts", back="warn"))
    assert [] == placed(RETRY.format(warn="hot-parts", clip=SPARK, back="clip"))
    assert ["loop-reenters-past-caution"] == placed(RETRY.format(warn=SPARK, clip="hot-parts", back="clip"))


def test_caution_of_the_fallback_is_behind() -> None:
    """A caution that only the fallback has comes after the first try."""
    text = RETRY.format(warn="hot-parts", clip="hot-parts", back="clip").replace("{tries: 1,", f"{{tries: 1, caution: [{SPARK}],")
    assert ["caution-after-hazard"] == placed(text)


def test_caution_is_for_one_danger() -> None:
    """Where it has to be met again, the caution of one step is none for a later one that is no retry."""
    text = f"steps:\n  clip: {{caution: [{SPARK}], {CLIP}}}\n  unclip: {{do: disconnect-support, then: all-right}}\n"
    assert ["hazard-without-caution"] == placed(text)


@pytest.mark.parametrize("line", ["disconnect-support", "make-sure support none"])
def test_caution_of_a_later_danger_is_not_misplaced(line: str) -> None:
    """A caution that a later step needs for itself is not told as one that stands too late."""
    text = f"steps:\n  clip: {{{CLIP}}}\n  unclip: {{caution: [{SPARK}], do: {line}, then: all-right}}\n"
    assert ["hazard-without-caution"] == placed(text)


def test_caution_of_a_later_block_is_not_misplaced() -> None:
    """Nor is one that stands in a block which is followed later."""
    block = f"block: warn\nsteps:\n  read-it: {{caution: [{SPARK}], do: look hood, then: ready}}\n"
    text = f"steps:\n  clip: {{{CLIP}}}\n  last: {{follow: warn 1, then: all-right}}\n"
    assert ["hazard-without-caution"] == placed(text, warn=block)


def test_two_lines_of_a_step_have_one_caution() -> None:
    """A caution at a step is for all its lines; one that is missing there is missing once."""
    lines = "do: [connect-support 13.5 V, wait 15-20 min, disconnect-support]"
    assert [] == placed(f"steps:\n  charge: {{caution: [{SPARK}], {lines}, then: all-right}}\n")
    assert ["hazard-without-caution"] == placed(f"steps:\n  charge: {{{lines}, then: all-right}}\n")


def test_level_is_that_of_the_harm() -> None:
    """A missing caution is an error where people may be hurt, and a warning where only things may."""
    report = check({"e.yaml": completed("e", BEGIN + f"steps:\n  clip: {{{CLIP}, then: all-right}}\n")}, asked(PLACING[0]))
    assert {SPARK: "error", "support-overvoltage": "warning"} == {each.result.subject: each.level for each in report.results}


def test_clause_begins_small_unless_with_a_name() -> None:
    """The hazard's own sentence stands in the message as a clause."""
    box = "make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, high-voltage: [hybrid]"
    text = f"vehicles: [{{{box}}}]\n"
    steps = "steps:\n  up: {do: open-hood, then: all-right}\n"
    report = check({"e.yaml": completed("e", BEGIN + text + steps)}, asked(PLACING[0]))
    messages = {each.result.subject: each.result.message for each in report.results}
    assert "Nobody is warned that a hybrid can be READY in silence." == messages["hybrid-silent-ready"]
    assert "Nobody is warned that exhaust and coolant parts stay hot." == messages["hot-parts"]


# One cause, one result.

START = "start: {{ignition: off, cylinder: O1, hood: closed, park-brake: {brake}, ventilation: {air}}}\n"
RUN = "steps:\n  run: {do: start O1, ways: {runs: all-right, otherwise: all-right}}\n"


def test_state_that_is_asked_for_is_told_and_not_its_caution() -> None:
    """Where a rule asks for the state that ends the danger, the caution is not asked for beside it; others are."""
    results = found(START.format(brake="released", air="outdoors") + RUN, *PLACING, "start-without-brake-or-park")
    assert "start-without-brake-or-park" in [name for name, _ in results]
    assert "vehicle-rolls" not in [subject for _, subject in results]
    assert "test-drive-cut-out" in [subject for _, subject in results]


def test_air_is_asked_for_and_not_its_caution() -> None:
    """In a closed room other air is asked for, and that ends the danger of which the caution would speak."""
    results = found(START.format(brake="set", air="enclosed") + RUN, *PLACING, "test-start-without-safeguards")
    assert "ventilation" in [subject for _, subject in results]
    assert "engine-run-enclosed" not in [subject for _, subject in results]


@pytest.mark.parametrize(("number", "aside"), [(1, "put O1 aside"), (2, "put O1 aside, put O2 aside")])
def test_keys_locked_in_are_told_once(number: int, aside: str) -> None:
    """A door that may lock every key in, be it one or more, is told as that, and not as a missing caution too."""
    begin = f"keys: {{O: {{kind: key, registered: true, here: {number}}}}}\n"
    begin += "start: {ignition: off, cylinder: O1, door-driver: open, window-driver: closed}\n"
    steps = f"steps:\n  lay-down: {{do: [remove O1, {aside}, get-out]}}\n  shut: {{do: close door-driver, then: all-right}}\n"
    results = found(begin + steps, *PLACING, "all-keys-inside-at-lock")
    assert ["all-keys-inside-at-lock"] == [rule for rule, _ in results]


def test_unproven_right_is_told_once_for_a_file() -> None:
    """All that is done for someone whose right is not proven has one cause, and no caution is asked for beside it."""
    text = "keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}\n"
    steps = (
        "start: {ignition: on, cylinder: N1, tool: plugged, session: open}\nsteps:\n"
        "  fork: {ways: {gearbox = manual: cut-it, otherwise: learn-it}}\n"
        "  cut-it: {do: cut-blade O1, then: all-right}\n  learn-it: {do: learn N1, then: all-right, fails: all-right}\n"
    )
    report = check({"e.yaml": completed("e", text + steps)}, asked(*PLACING, "ownership-proof-missing"))
    told = [(each.rule.id, len(each.also)) for each in report.results if each.rule.id == "ownership-proof-missing"]
    assert [("ownership-proof-missing", 1)] == told
    assert "unauthorised-key" not in [each.result.subject for each in report.results]


# What ends a danger.

VEHICLES = "vehicles: [{{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, {}}}]\n"
NEW = "keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: 1}}\nslots: {key: 5}\n"
LEARN = "learn-it: {do: learn N1, then: all-right, fails: all-right}"
OPEN = "start: {ignition: on, cylinder: N1, tool: plugged, session: open, hood: closed}\n"


@pytest.mark.parametrize(
    ("hazard", "text", "ended"),
    [
        (
            "battery-drain",
            OPEN + "steps:\n  wait-it: {do: wait-access O1, then: all-right, fails: all-right}\n",
            ("hood: closed", "hood: closed, support: connected"),
        ),
        ("low-battery-write", NEW + OPEN + f"steps:\n  {LEARN}\n", ("hood: closed", "hood: closed, support: connected")),
        ("keys-erased-absent", "learning: replace-all\n" + NEW + OPEN + f"steps:\n  {LEARN}\n", ("replace-all", "add")),
        (
            "slots-full",
            NEW + OPEN + f"steps:\n  {LEARN}\n",
            (
                "  learn-it",
                "  count-it: {do: read key as n, ways: {n < 5: learn-it, otherwise: all-right, fails: all-right}}\n  learn-it",
            ),
        ),
        (
            "hybrid-silent-ready",
            VEHICLES.format("high-voltage: [hybrid]") + BEGIN + "steps:\n  up: {do: open-hood, then: all-right}\n",
            ("hybrid", "none"),
        ),
        (
            "moving-parts-hood",
            "start: {ignition: off, cylinder: O1, hood: open}\nsteps:\n  on: {do: turn O1 on, then: all-right}\n",
            ("hood: open", "hood: closed"),
        ),
    ],
    ids=lambda value: value if isinstance(value, str) and "\n" not in value else "",
)
def test_state_ends_a_danger(hazard: str, text: str, ended: tuple[str, str]) -> None:
    """A hazard that what is known has ended on that way asks for no caution, and the same without it does."""
    assert hazard in [subject for _, subject in found(text, *PLACING)]
    assert hazard not in [subject for _, subject in found(text.replace(*ended), *PLACING)]


# How far ahead.

AHEAD = """\
steps:
  warn: {{caution: [{name}], do: look hood}}
{between}  act: {{do: {line}, then: all-right}}
"""


def distant(name: str, line: str, between: int) -> list[tuple[str, str]]:
    """Give what is found where a number of steps lie between the step with the caution and the one that needs it."""
    steps = "".join(f"  between-{number}: {{do: look doors}}\n" for number in range(between))
    return found(BEGIN + AHEAD.format(name=name, between=steps, line=line), "caution-too-far-ahead")


@pytest.mark.parametrize(
    ("name", "line", "most"),
    [(SPARK, "connect-support 13.5 V", -1), ("hot-parts", "open-hood", 2), ("coin-cell", "fit-cell O1", -1)],
)
def test_placing_counts_the_steps_between(name: str, line: str, most: int) -> None:
    """A caution directly before may have no step done after it, and one within three steps at most three, its own among them."""
    if most >= 0:
        assert [] == distant(name, line, most)
    assert [("caution-too-far-ahead", name)] == distant(name, line, most + 1)


def test_what_the_state_can_end_is_not_counted() -> None:
    """Of a hazard that a state ends, or that may stand anywhere before, the distance is not told."""
    assert [] == distant("vehicle-rolls", "start O1", 5)
    assert [] == distant("alone-at-site", "plug tool", 5)
    assert [] == distant("pinch", "close-hood", 5)


def test_fork_is_no_step() -> None:
    """Steps without lines take nobody's mind off the caution."""
    text = (
        f"steps:\n  warn: {{caution: [{SPARK}], ways: {{gearbox = manual: clip, otherwise: on}}}}\n"
        f"  on: {{ways: {{gearbox = automatic: clip, otherwise: clip}}}}\n  clip: {{{CLIP}, then: all-right}}\n"
    )
    assert [] == found(BEGIN + text, "caution-too-far-ahead")


def test_nearest_caution_on_each_way_counts() -> None:
    """Of two branches the one whose caution is far is told; a danger in between has a caution of its own to look for."""
    far = BRANCHES.format(one=SPARK, other=SPARK).replace("then: clip", "then: on") + "  on: {do: look doors, then: clip}\n"
    assert [("caution-too-far-ahead", SPARK)] == found(BEGIN + far, "caution-too-far-ahead")
    again = f"steps:\n  clip: {{caution: [{SPARK}], {CLIP}}}\n  unclip: {{do: disconnect-support, then: all-right}}\n"
    assert [] == found(BEGIN + again, "caution-too-far-ahead")


def test_distance_in_a_loop_ends() -> None:
    """In a loop each step is looked at once."""
    assert [("caution-too-far-ahead", SPARK)] == found(
        BEGIN + RETRY.format(warn=SPARK, clip="hot-parts", back="warn"), "caution-too-far-ahead"
    )


def test_words_of_the_line_raise_it() -> None:
    """A hazard that hangs on a word of the line, or on who does it, is counted where the line says so and nowhere else."""
    assert [("caution-too-far-ahead", "cylinder-force")] == distant("cylinder-force", "remove-trim column-cowl", 0)
    assert [] == distant("cylinder-force", "remove-trim glove-box", 0)
    read = "{do: learn O1, by: vehicle, expect: the locks click once}"
    assert [] == [each for each in distant("write-interrupted", read, 0) if each[1] == "write-interrupted"]


# Order, number, and what stands inside.


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        ("hot-parts, hybrid-silent-ready", 1),
        ("hybrid-silent-ready, hot-parts, support-overvoltage", 0),
        ("hot-parts, sharp-trim", 0),
        ("support-overvoltage, own, nothing-known", 1),
    ],
)
def test_warning_precedes_caution_and_note(names: str, expected: int) -> None:
    """At one step warnings stand before cautions and those before notes (MIL-DTL-23618H(AS), 3.1.5.3)."""
    text = own("caution", "It is hot inside.", "It can burn you.").replace("[own]", f"[{names}]")
    assert expected == len(found(text, "lesser-caution-first"))


def test_no_step_stands_in_a_caution() -> None:
    """A caution with a movement in it that no line does is told (MIL-DTL-87268D, 3.2.2.4: no procedural steps but to avoid)."""
    inside = own("notice", "Water shorts the tool.", "The tool fails.", "Take O1 out before you plug the tool.")
    assert [("action-hidden-in-caution", "")] == found(inside, "action-hidden-in-caution")
    assert [] == found(own("notice", "Water shorts the tool.", "The tool fails.", "Wipe it dry."), "action-hidden-in-caution")


@pytest.mark.parametrize(("number", "expected"), [(3, 0), (4, 1)])
def test_more_than_three_are_not_read(number: int, expected: int) -> None:
    """Three cautions at a step are read, four are not."""
    names = ", ".join(("hybrid-silent-ready", "roadside-traffic", "hot-parts", "sharp-trim")[:number])
    text = f"steps:\n  look-on: {{caution: [{names}], do: look hood, then: all-right}}\n"
    assert expected == len(found(text, "caution-overload"))


def test_repeated_steps_end_and_timed_steps_have_a_way_out() -> None:
    """A repetition says when it ends, and a timed step what to do if the time cannot be met (DOE-STD-1029-92)."""
    endless = "steps:\n  try-it: {do: {do: turn O1 on, expect: the lamp lights}, then: all-right, fails: try-it}\n"
    assert ["retry-without-limit"] == [rule for rule, _ in found(endless, "retry-without-limit")]
    timed = "steps:\n  try-it: {do: {do: turn O1 on, expect: the lamp lights, within: 5 s}, then: all-right}\n"
    assert ["no-way-when-it-fails"] == [rule for rule, _ in found(timed, "no-way-when-it-fails")]
