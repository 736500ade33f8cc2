"""The words that people read: which are unclear, and which differ from what is done.

Sentence limits and rules are those of ASD-STE100 Issue 9 (rules 5.1, 5.2, 5.4, 6.3 and 6.6), known from excerpts and summaries
and not read in the standard itself; the sentences that test them are made from the limits. Everything else is common practice,
no source.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, cast

import jsonschema_rs
import pytest
import yaml
from jsonschema import Draft202012Validator

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.analysis.sentences import clauses, parts, sentences
from proclint.analysis.texts import own_words
from proclint.analysis.words import Words
from proclint.catalogue import Catalogue, extended, standard
from proclint.catalogue.phrases import PhraseFinder, in_small_letters
from proclint.model import Block
from proclint.testing import completed

ON = "2026-06-01"
CATALOGUE = Path(__file__).parents[1] / "proclint" / "catalogue"


def words_of(text: str, catalogue: Catalogue | None = None) -> Words:
    """Read a file, completed where it says too little, and give what is known of its words."""
    trade = catalogue or standard()
    study = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", trade, on=ON)
    assert () == (*study.troubles, *study.faults)
    assert study.flow is not None
    blocks = {study.flow.id: study.flow} if isinstance(study.flow, Block) else {}
    return Study(study.flow, Shelf(blocks, trade), ON, Limits()).words


def step(instruction: str, do: str = "wait 5 s", more: str = "") -> Words:
    """Give the words of a procedure with one step; `more` are further fields of the file."""
    return words_of(f"steps:\n  one: {{instruction: {json.dumps(instruction)}, do: [{do}], then: all-right}}\n{more}")


def found(words: Words, group: str) -> list[str]:
    """Give the unclear phrases of a group as they are written."""
    return [each.hit.text for each in words.unclear(group)]


def told(words: Words) -> list[tuple[str, str, str]]:
    """Give the differences between instructions and lines."""
    return [(each.kind, each.told, each.done) for each in words.differences]


TWO_KEYS = "keys: {O: {kind: key, registered: true, here: 2}, N: {kind: key, registered: false, here: 1}}\n"
COUNTING = " ".join(f"word{number}" for number in range(1, 40))


def words(number: int) -> str:
    """Give a sentence of a number of words that commands nothing."""
    return " ".join(COUNTING.split()[:number])


# What is found, and what is like it and is not.


@pytest.mark.parametrize(
    ("group", "text", "expected"),
    [
        ("ambiguous", "Cycle the key.", ["Cycle the key"]),
        ("ambiguous", "Recycle the keys.", []),
        ("ambiguous", "Use the key on-board.", []),
        ("ambiguous", "Read the word HOLD aloud.", []),
        ("ambiguous", "HOLD THE LEVER.", ["HOLD"]),
        ("ambiguous", "Look for 'cycle the key' on the screen.", []),
        ("ambiguous", 'Look for "cycle the key" on the screen.', []),
        ("ambiguous", "Look for \N{LEFT DOUBLE QUOTATION MARK}hold\N{RIGHT DOUBLE QUOTATION MARK} there.", []),
        ("ambiguous", "Stand in the customer's view, and hold the driver's coat.", ["hold"]),
        ("ambiguous", "Press it within 10 s.", ["within 10 s"]),
        ("ambiguous", "All four within 10 s of the first.", []),
        ("ambiguous", "Keep clear of the door.", []),
        ("ambiguous", "Turn off the radio.", []),
        ("ambiguous", "Press and hold lock and unlock.", ["Press and hold lock and unlock"]),
        ("vague", "Wait a moment, then a few more.", ["a moment", "a few"]),
        ("vague", "Lay it near the column, 15 cm off.", []),
        ("vague", "Lay it near the column.", ["near the"]),
        ("sides", "Open the left door.", ["left door"]),
        ("sides", "Open the left door, seen from the driver's seat.", []),
        ("sides", "See that the right person asks.", []),
        ("lamps", "Watch the lamp.", ["the lamp"]),
        ("lamps", "Watch the immobiliser lamp: the lamp blinks.", []),
        ("lamps", "Watch the lamp of the lock.", []),
        ("numbered", "Go on with step 6.", ["step 6"]),
        ("numbered", "Go on with step six.", ["step six"]),
        ("numbered", "Step back from the vehicle.", []),
        ("paraphrases", "Agree to the message.", ["Agree to the message"]),
    ],
)
def test_phrases_are_found_as_whole_words_of_our_own(group: str, text: str, expected: list[str]) -> None:
    """A phrase counts as whole words in any letters, and not where it is quoted, the screen's own, or made clear beside it."""
    assert expected == found(step(text), group)


def test_phrases_are_looked_for_where_people_work_by_them() -> None:
    """Unclear words are found in lines, questions, signs, notes and own cautions, and not in what the customer is told."""
    known = words_of("""
steps:
  ask: {ask: Is it a bit cold here?, ways: {"yes": work, "no": work}}
  work:
    caution: [wet]
    prompt: {says: WAIT A WHILE, means: Wait a while.}
    do:
      - {do: act hold the lever, by: technician}
      - {do: [tap tool, wait 5 s], expect: the lamp goes out shortly}
      - {do: press O1 LOCK, expect: the horn is heard}
    meanwhile: {do: act hold the other lever, every: 4 s}
    expect: the module knows it
    then: all-right
cautions:
  wet: {signal: notice, hazard: The light is weak., consequence: You wait a while., avoid: Wait a moment.}
endings:
  all-right: {kind: success, tell: Hold on a moment.}
""")
    assert ["hold", "hold"] == [each.hit.text for each in known.ambiguous]
    assert {"a while", "shortly", "a moment"} == set(found(known, "vague"))
    assert ["knows"] == found(known, "hidden")
    assert ["the lamp"] == found(known, "lamps")
    places = {each.hit.text: each.hit.said.part(each.hit.start, each.hit.end) for each in known.unclear("vague")}
    assert ("steps", "work", "prompt", "means") == places["a while"].path
    assert ("steps", "work", "do", 1, "expect") == places["shortly"].path
    hidden = known.unclear("hidden")[0].hit
    assert ("steps", "work", "expect") == hidden.said.part(hidden.start, hidden.end).path


def test_a_place_is_that_of_the_words() -> None:
    """What is shown are the words themselves, also behind the verb of a line that acts."""
    text = "steps:\n  one: {do: [act hold the lever, {act: {text: hold on}}], then: all-right}\n"
    first, second = words_of(text).ambiguous
    at = first.hit.said.part(first.hit.start, first.hit.end)
    assert "hold" == text[at.start : at.end]
    assert second.hit.said.at == second.hit.said.owner


def test_a_library_adds_words_of_its_own() -> None:
    """A phrase that a library adds is found as the others are."""
    own = {"words": {"vague": {"ajar": {"phrases": ["ajar"], "readings": ["1 cm", "10 cm"], "write": "a distance"}}}}
    larger = extended(standard(), own, origin="library.yaml")
    assert ["ajar"] == [
        each.hit.text for each in words_of("steps: {one: {do: act leave it ajar, then: all-right}}\n", larger).unclear("vague")
    ]


PHRASES = ("hold", "a # b", "# more times", "step #", "near the", "don't")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("hold", {"hold"}),
        ("holds", set()),
        ("a 3 b", {"a # b"}),
        ("a two b", {"a # b"}),
        ("a b", set()),
        ("2 more times, step 2-3.", {"# more times", "step #"}),
        ("some more times", set()),
        ("near theory", set()),
        ("near the (hold) end", {"near the", "hold"}),
        ("don't", {"don't"}),
    ],
)
def test_a_finder_finds_what_a_search_for_each_finds(text: str, expected: set[str]) -> None:
    """All phrases together are found where each by itself is found by a plain expression."""
    finder = PhraseFinder(PHRASES, {"two": 2})
    number = r"(?:[0-9]+(?:[.-][0-9]+)*|two)"
    plain = {phrase: re.escape(phrase).replace("\\#", number) for phrase in PHRASES}
    each = {phrase for phrase, inner in plain.items() if re.search(rf"(?<![\w-]){inner}(?![\w-])", text)}
    assert expected == {phrase for _, _, phrase in finder.spans(text)} == each
    assert expected == {phrase for phrase in PHRASES if finder.stands_in(phrase, text)}


def test_small_letters_keep_their_places() -> None:
    """A letter that becomes two in small letters stays one, so that places fit."""
    assert "\N{LATIN CAPITAL LETTER I WITH DOT ABOVE}x" == in_small_letters("\N{LATIN CAPITAL LETTER I WITH DOT ABOVE}X")
    assert "abc" == in_small_letters("aBC")


def test_quoted_words_keep_their_length() -> None:
    """What is quoted is made unreadable at its length; an apostrophe quotes nothing."""
    assert "Say _____ in the driver's way" == own_words("Say 'no!' in the driver's way")
    assert "keys' and O1's" == own_words("keys' and O1's")


# Sentences.


def test_texts_are_divided_and_keep_their_places() -> None:
    """Sentences end at full stops, parts at every mark but a comma, clauses at every mark and joining word."""
    text = "Set 13.5 V, boost off; go on. Then wait!  "
    assert ["Set 13.5 V, boost off; go on", "Then wait"] == [each.text for each in sentences(text)]
    assert ["Set 13.5 V, boost off", "go on", "Then wait"] == [each.text for each in parts(text)]
    assert ["Set 13.5 V", "boost off", "go on", "Then wait"] == [each.text for each in clauses(text)]
    assert all(each.text == text[each.start : each.end] for cut in (sentences, parts, clauses) for each in cut(text))


@pytest.mark.parametrize(("number", "is_long"), [(20, False), (21, True)])
def test_a_command_has_at_most_20_words(number: int, *, is_long: bool) -> None:
    """ASD-STE100 rule 5.1: a sentence of 20 words is no result, one of 21 is."""
    assert is_long == bool(step(f"{words(number)}.").long)


@pytest.mark.parametrize(("number", "is_long"), [(25, False), (26, True)])
def test_a_description_has_at_most_25_words(number: int, *, is_long: bool) -> None:
    """ASD-STE100 rule 6.3: a sentence of 25 words is no result, one of 26 is."""
    known = words_of(f"endings:\n  all-right: {{kind: success, tell: {words(number)}.}}\n")
    assert is_long == bool(known.long)


@pytest.mark.parametrize(("number", "is_long"), [(6, False), (7, True)])
def test_a_text_has_at_most_6_sentences(number: int, *, is_long: bool) -> None:
    """ASD-STE100 rule 6.6: six sentences are no result, seven are."""
    known = step(" ".join(["Go on."] * number)).long
    assert is_long == bool(known)
    assert [number] * is_long == [each.number for each in known if each.is_whole]


@pytest.mark.parametrize(("number", "is_long"), [(12, False), (13, True)])
def test_a_command_is_shorter_while_a_window_runs(number: int, *, is_long: bool) -> None:
    """Common practice, no source: 12 words while a window runs, so that 13 are a result there and nowhere else."""
    line = "{do: turn O1 on, opens: w at start, closes: w}"
    assert is_long == bool(step(f"{words(number)}.", line, "windows: {w: 10 s}\n").long)
    assert not step(f"{words(number)}.", "turn O1 on").long


def test_words_are_counted_as_they_are_read() -> None:
    """A hyphenated word is one word and what is quoted too (from memory of the standard); a dash is none."""
    assert not step(f"{words(18)} well-known 'a b c' - .").long
    assert step(f"{words(18)} well known 'a b c' - .").long


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Press the button when the lamp of the lock flashes.", True),
        ("When the lamp of the lock flashes, press the button.", False),
        ("Erase all, if the count is full.", True),
        ("Then press START in case it is dark.", True),
        ("Look: press START. If it is dark, go on.", False),
        ("Press START as soon as it is dark.", True),
        ("See if the lamp of the lock is lit.", False),
        ("Have it signed, also if it is found again.", False),
        ("Press LOCK once.", False),
        ("If so: if not.", False),
        ("Go on if it is dark.", False),
    ],
)
def test_a_condition_stands_before_its_command(text: str, *, expected: bool) -> None:
    """ASD-STE100 rule 5.4: a command that ends with its condition is a result; questions told and concessions are none."""
    assert expected == bool(step(text).conditions_behind)


def test_a_condition_may_stand_behind_in_what_commands_nothing() -> None:
    """A question and a sign may end with when or if."""
    known = words_of("""
steps:
  one: {ask: Press it if so?, ways: {"yes": two, "no": two}}
  two: {do: wait 5 s, expect: lamp of the lock if any, then: all-right, fails: all-right}
""")
    assert () == known.conditions_behind


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("Remove the four bolts and disconnect the cable.", 2),
        ("Remove the four bolts. Disconnect the cable.", 0),
        ("Turn O1 off, take O1 out and press LOCK.", 3),
        ("Open and close the tailgate 2 times.", 0),
        ("Press LOCK and UNLOCK.", 0),
        ("Press both and keep watch at the same time.", 0),
        ("The lamp of the lock and the horn.", 0),
        ("Turn O1 on, then off.", 0),
    ],
)
def test_a_sentence_commands_one_thing(text: str, number: int) -> None:
    """ASD-STE100 rule 5.2: two instructions in one sentence are a result unless they are done together."""
    assert ([number] if number else []) == [each.number for each in step(text).crowded]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Do not go on unless it is lit.", True),
        ("Never turn it without the cover.", True),
        ("Keys that are not here do not start it.", False),
        ("Touch nothing. Do not push.", False),
        ("Do not push and do not turn.", False),
        ("Touch neither START nor doors.", False),
        ("Nothing was changed.", False),
        ("Note the number.", False),
    ],
)
def test_nothing_is_denied_twice(text: str, *, expected: bool) -> None:
    """Two words that say no in one clause are a result; one about a thing is not counted."""
    assert expected == bool(step(text).doubled)


# Keys.


@pytest.mark.parametrize(
    ("text", "do", "expected"),
    [
        ("Take O1 out and insert the other key.", "remove O1, insert N1", ["the other key"]),
        ("Insert it.", "insert N1", ["Insert it"]),
        ("Insert N1, then turn it.", "insert N1, turn N1 on", []),
        ("Lay the cable aside, then put it on the mat.", "wait 5 s", []),
        ("Step to the other side with N1.", "put N1 hand", []),
    ],
)
def test_a_pronoun_is_found_where_it_can_be_another_key(text: str, do: str, expected: list[str]) -> None:
    """A pronoun for a key counts where lines and text name two, or the text none and several are about."""
    known = step(text, do, TWO_KEYS + "start: {ignition: off, cylinder: O1}\n")
    assert expected == [each.hit.text for each in known.pronouns]


def test_with_one_key_a_pronoun_is_clear() -> None:
    """Where one key is about, it is that one; in a block nobody knows how many are."""
    assert () == step("Insert it.", "insert O1", "keys: {O: {kind: key, registered: true, here: 1}}\n").pronouns
    block = "block: b\ngiven: {K: key}\nsteps: {one: {instruction: Insert it., do: insert K, then: ready}}\n"
    assert ["Insert it"] == [each.hit.text for each in words_of(block).pronouns]


def test_a_key_is_named() -> None:
    """An instruction that handles the key where several are about names it; a loop's key is that of the round."""
    assert ["insert the key "] == [each.small.lstrip() for _, each in step("Insert the key.", "insert N1", TWO_KEYS).unnamed_keys]
    assert () == step("Insert the key.", "insert O1").unnamed_keys
    assert () == step("Insert N1, the key with the tag.", "insert N1", TWO_KEYS).unnamed_keys
    assert () == step("Learn it in the key menu.", "learn N1", TWO_KEYS).unnamed_keys
    assert () == step("Wait with the key.", "wait 5 s", TWO_KEYS).unnamed_keys
    step_of_loop = "one: {for-each: {X: O}, instruction: Press LOCK on the key., do: press X LOCK, then: all-right}"
    assert () == words_of(f"steps:\n  {step_of_loop}\n{TWO_KEYS}").unnamed_keys


OWN_CAUTION = """
steps: {{one: {{caution: [c], do: {}, then: all-right}}}}
cautions: {{c: {{signal: notice, hazard: H h., consequence: C c., avoid: {}}}}}
"""


def test_a_term_means_one_key() -> None:
    """A term beside two different keys is a result; beside one, it is told where it first stands; without a key nobody knows."""
    two = """
steps:
  one: {{instruction: Put the master down., do: put {} aside}}
  two: {{instruction: Put the master down., do: put {} aside, then: all-right}}
"""
    found_in = words_of(two.format("O1", "N1") + TWO_KEYS)
    (each,) = found_in.terms_used_two_ways
    assert (("O1",), ("N1",), "master") == (each.first_keys, each.second_keys, each.second.text)
    assert () == found_in.ambiguous
    once = words_of(two.format("O1", "O1") + TWO_KEYS)
    assert () == once.terms_used_two_ways
    assert ["one"] == [each.hit.said.step.name for each in once.ambiguous if each.hit.said.step]
    caution = OWN_CAUTION.format("wait 5 s", "Keep the master dry.")
    assert ["master"] == [each.hit.text for each in words_of(caution).ambiguous]


# Words against deeds.


@pytest.mark.parametrize(
    ("text", "do", "expected"),
    [
        # The same words, and words that are none of the line's.
        ("Turn O1 to on.", "turn O1 on", []),
        ("Turn the knob with O1 to on; do not start.", "turn O1 on", []),
        ("Turn O1 to off on the mat.", "turn O1 off", []),
        ("Foot off the brake. Press START 2 times with O1 in your hand.", "press START 2 times", []),
        ("On O1 keep LOCK pressed for 2 to 4 s, then release.", "keep O1 LOCK 2-4 s", []),
        ("Open the driver's door.", "open door-driver", []),
        ("Open all doors.", "open door-driver, open door-passenger, open doors-other", []),
        ("Close the driver's door.", "close doors", []),
        ("Have the customer sign.", "get-consent", []),
        # Another position, switch, key or verb.
        ("Turn O1 to accessory.", "turn O1 on", [("word", "accessory", "on")]),
        ("Press hazard.", "press START", [("word", "hazard", "START")]),
        ("Open the passenger's door.", "open door-driver", [("word", "door-passenger", "door-driver")]),
        ("Insert O1.", "insert N1", [("key", "O1", "N1")]),
        ("On O1 press LOCK.", "press N1 LOCK", [("key", "O1", "N1")]),
        ("Insert N1.", "remove O1", [("verb", "Insert N1", "remove O1")]),
        # What is done and not told.
        ("Turn O1 on.", "turn O1 on, turn O1 off", [("left-out", "", "turn O1 off")]),
        ("Insert N1.", "insert N1, insert N2", [("left-out", "", "insert N2")]),
        ("Wait 5 s.", "wait 5 s, remove O1", [("left-out", "", "remove O1")]),
        ("Turn O1 on, then off.", "turn O1 on, turn O1 off", []),
        ("Choose the next one.", "{do: press O1 LOCK, by: vehicle}", []),
        # What tells how things stand, and what is done by lines whose verbs nobody knows.
        ("The door is open. Wait 5 s.", "wait 5 s", []),
        ("Push the plug home.", "act push the plug home", []),
        ("Remove the cable.", "act push the plug home", [("verb", "Remove the cable", "act push the plug home")]),
        ("Turn O1 off.", "make-sure ignition off", []),
        ("Insert O1.", "make-sure hood closed", [("verb", "Insert O1", "make-sure hood closed")]),
        ("Press OK.", "{do: learn N1, expect: the horn is heard}", []),
        ("Press OK.", "wait 5 s", [("verb", "Press OK", "wait 5 s")]),
        # Counts.
        ("Press trip 3 times.", "press trip 4 times", [("number", "3 times", "4 times")]),
        ("Press trip three times.", "press trip 3 times", []),
        ("Press trip twice.", "press trip", [("number", "twice", "once")]),
        ("Press trip once.", "press trip", []),
        ("Press trip, all at once.", "press trip 3 times", []),
        ("Turn O1 on, then off, 4 times.", "turn O1 on, turn O1 off, {do: [turn O1 on, turn O1 off], repeat: 3}", []),
        ("Press trip 6 times.", "{do: press trip 3 times, repeat: 2}", []),
        ("Press trip 2 times.", "{do: press trip 3 times, repeat: 2}", [("number", "2 times", "3 times, 6 times")]),
        # Times, voltages, digits.
        ("Wait 5 min.", "wait 5 s", [("number", "5 min", "5 s")]),
        ("Wait 5 seconds.", "wait 5 s", []),
        ("Wait 3 to 4 s.", "wait 2-5 s", []),
        ("Wait 20 s.", "wait 2-5 s", [("number", "20 s", "2-5 s")]),
        ("Wait 20 s.", "{do: wait 2-5 s, expect: the horn is heard, within: 20 s}", []),
        ("Wait 6 s.", "{do: wait 2-5 s, takes: 5-8 s}", []),
        ("Wait for the horn.", "wait 2-5 s", []),
        ("Press trip 2 times within 10 s of the horn.", "press trip 2 times", []),
        ("Set 13.2 V.", "connect-support 13.5 V", [("number", "13.2 v", "13.5 V")]),
        ("Set 13.5 V.", "connect-support 13.5 V", []),
        ("Enter the 5-digit code.", "enter-code 6 digits", [("number", "5-digit", "6 digits")]),
        ("Enter the 6-digit code.", "enter-code 6 digits", []),
        # Nothing is told against the screen's and the quoted words.
        ("Choose START.", "select A", []),
        ("Choose 'insert O1'.", "select A", []),
    ],
)
def test_an_instruction_tells_what_its_lines_do(text: str, do: str, expected: list[tuple[str, str, str]]) -> None:
    """Verb, key, position, count and time of an instruction are those of its lines; what does not compare is no result."""
    keys = "keys: {O: {kind: key, registered: true, here: 2}, N: {kind: key, registered: false, here: 2}}\n"
    ends = "endings: {all-right: {kind: success, tell: It works.}, failed: {kind: as-found, tell: It failed.}}\n"
    known = words_of(
        f"steps:\n  one: {{instruction: {json.dumps(text)}, do: [{do}], then: all-right, fails: failed}}\n{keys}{ends}"
    )
    assert expected == told(known)


def test_a_key_may_be_one_of_its_group_or_of_the_round() -> None:
    """The key that a text names may be a group's, a loop's or the missing one; in a block it bears the block's own name."""
    keys = "keys: {R: {kind: remote, registered: true, here: 2}}\n"
    loop = "steps:\n  one: {{for-each: {{X: R}}, instruction: On {} press LOCK., do: press X LOCK, then: all-right}}\n"
    assert [] == told(words_of(loop.format("X") + keys)) == told(words_of(loop.format("R1") + keys))
    assert [("key", "O1", "X")] == told(words_of(loop.format("O1") + keys))
    assert [] == told(step("Fit R1 aside. Put R1 aside.", "put R.missing aside", keys))
    block = "block: b\ngiven: {K: key}\nsteps: {one: {instruction: Insert K., do: insert K, then: ready}}\n"
    assert [] == told(words_of(block))


def test_a_step_without_lines_has_nothing_to_differ_from() -> None:
    """Where a step only asks, its instruction differs from nothing."""
    text = 'steps:\n  one: {instruction: Insert N1., ask: Is it in?, ways: {"yes": all-right, "no": all-right}}\n'
    assert [] == told(words_of(text + TWO_KEYS))


def test_rounds_of_a_step_count() -> None:
    """How often may be told of the rounds of the whole step, and how long of the step and of its windows."""
    text = """
steps:
  one:
    repeat: 3
    takes: 7-9 s
    instruction: Press trip 3 times. Wait 8 s. Wait 10 s.
    do: [press trip, {do: wait 1-2 s, opens: w at start, closes: w}]
    then: all-right
windows: {w: 10 s}
"""
    assert [] == told(words_of(text))


@pytest.mark.parametrize(
    ("says", "do", "expected"),
    [
        ("INSERT NEXT KEY", "insert N1", []),
        ("INSERT NEW KEY", "insert N1", []),
        ("INSERT NEW KEY", "insert O1", [("contradicts", "INSERT NEW KEY")]),
        ("INSERT KNOWN KEY", "insert N1", [("contradicts", "INSERT KNOWN KEY")]),
        ("TURN ON", "turn O1 on", []),
        ("TURN OFF", "turn O1 on", [("contradicts", "TURN OFF")]),
        ("MOVE TO STOP MARK", "turn O1 on", [("contradicts", "MOVE TO STOP MARK")]),
        ("MOVE TO STOP MARK", "act go to the mark", []),
        ("IGNITION OFF", "turn O1 on", [("contradicts", "IGNITION OFF")]),
        ("IGNITION ON", "turn O1 on", []),
        ("IGNITION ON", "wait 5 s", []),
        ("NEXT KEY", "insert N1", []),
        ("DO NOT TURN", "wait 5 s", []),
    ],
)
def test_what_a_screen_asks_for_is_done(says: str, do: str, expected: list[tuple[str, str]]) -> None:
    """A prompt without a note is read to the letter; with a note it is not judged."""
    text = 'steps:\n  one: {{prompt: {{says: "{}"{}}}, do: [{}], then: all-right}}\n{}'
    known = words_of(text.format(says, "", do, TWO_KEYS))
    assert expected == [(each.kind, each.asked) for each in known.prompt_faults]
    assert () == words_of(text.format(says, ", means: So it is.", do, TWO_KEYS)).prompt_faults


def test_a_prompt_may_be_met_by_the_step_behind_it_and_not_by_the_one_before() -> None:
    """What a screen asks for is done there or next; what was done before the prompt came was done too early."""
    late = "steps:\n  one: {prompt: {says: INSERT KEY}, do: wait 5 s}\n  two: {do: insert O1, then: all-right}\n"
    assert () == words_of(late).prompt_faults
    early = "steps:\n  one: {do: insert O1}\n  two: {prompt: {says: INSERT KEY}, do: wait 5 s, then: all-right}\n"
    assert [("before", "INSERT KEY", "insert O1")] == [(e.kind, e.asked, e.done) for e in words_of(early).prompt_faults]
    alone = "steps:\n  one: {prompt: {says: INSERT KEY}, ask: Is it in?, ways: {done: all-right}}\n"
    assert () == words_of(alone.replace(", ask: Is it in?, ways: {done: all-right}", ", then: all-right")).prompt_faults


@pytest.mark.parametrize(
    ("says", "choices", "expected"),
    [
        ("ERASE ALL KEYS?", "{Y: erase-all, N: nothing}", []),
        ("ERASE ALL KEYS?", "{Y: nothing, N: erase-all}", ["Y: nothing"]),
        ("KEEP REMOTES?", "{YES: erase-remotes, NO: nothing}", ["YES: erase-remotes"]),
        ("KEEP REMOTES?", "{YES: nothing, NO: erase-remotes}", []),
        ("1 ADD 2 ERASE", '{"1": add, "2": erase-all}', []),
        ("NEXT?", "{Y: erase-all, N: nothing}", []),
    ],
)
def test_a_yes_does_what_the_question_asks(says: str, choices: str, expected: list[str]) -> None:
    """A yes to a question that erases erases, and one to a question that keeps keeps, unless a note says otherwise."""
    answer = choices[1:].partition(":")[0]
    text = f'steps:\n  one: {{prompt: {{says: "{says}", choices: {choices}, answer: {answer}}}, then: all-right}}\n'
    assert expected == [each.done for each in words_of(text).prompt_faults]


def test_a_block_knows_no_keys_to_hold_a_prompt_against() -> None:
    """Whether a block's key is a new one is the caller's to say."""
    block = "block: b\ngiven: {K: key}\nsteps: {one: {prompt: {says: INSERT NEW KEY}, do: insert K, then: ready}}\n"
    assert () == words_of(block).prompt_faults


def test_a_prompt_stands_in_the_screens_own_words() -> None:
    """A prompt that begins as a person tells of it is retold; with the screen's words beside it an instruction may tell of it."""
    text = 'steps:\n  one: {{prompt: {{says: "{}"}}, instruction: Confirm the message., do: tap tool, then: all-right}}\n'
    assert ["asks"] == [each.hit.text for each in words_of(text.format("asks whether to go on")).paraphrases]
    assert () == words_of(text.format("Asking price")).paraphrases
    assert () == words_of(text.format("ASKS")).paraphrases
    assert () == step("Confirm the message 'GO ON?'.", "tap tool").paraphrases
    assert ["Confirm the message"] == [each.hit.text for each in step("Confirm the message.", "tap tool").paraphrases]


@pytest.mark.parametrize(
    ("do", "expected"),
    [
        ("learn N1", ["learn N1"]),
        ("{do: learn N1, expect: the horn is heard}", []),
        ("{do: erase keys, by: vehicle}", ["erase keys"]),
        ("turn O1 on", []),
        ("close-session", []),
        ("read key as n", []),
        ("select A", []),
        ("{do: look hood, by: vehicle}", []),
    ],
)
def test_what_equipment_does_shows_somehow(do: str, expected: list[str]) -> None:
    """A line of equipment or vehicle that can fail names its sign; what shows or answers something is its own."""
    assert expected == [line.text for _, line in step("Go.", do, TWO_KEYS).unsigned]


TRIED = """
steps:
  one: {{{}instruction: Press LOCK on O1{}., do: press O1 LOCK, ways: {{done: all-right, fails: {}}}}}
fallbacks:
  again: {{tries: 2, do: wait 5 s, then: one, fails: all-right}}
"""


@pytest.mark.parametrize(
    ("field", "text", "target", "expected"),
    [
        ("tries: 3, ", " at most 3 tries", "all-right", (3, 3)),
        ("tries: 3, ", " and 3 more times", "all-right", (3, 2)),
        ("tries: 3, ", " and twice more", "all-right", (2, 2)),
        ("", " and two more times", "again", (2, 2)),
        ("", " at most 3 tries", "again", (3, 3)),
        ("", " at most 3 tries", "all-right", (3, None)),
    ],
)
def test_tries_are_told_as_they_are_counted(field: str, text: str, target: str, expected: tuple[int, int | None]) -> None:
    """The number of tries in a text is held against the step's own, or against those of the fallback it leads to."""
    (each,) = words_of(TRIED.format(field, text, target)).retries
    assert expected == (each.told, each.counted)


def test_what_a_field_counts_is_not_ambiguous() -> None:
    """`Twice more` is read in two ways unless `tries` counts; a fallback is entered after the first try."""
    counted, open_ = TRIED.format("tries: 3, ", " twice more", "all-right"), TRIED.format("", " twice more", "all-right")
    assert () == words_of(counted).ambiguous
    assert ["twice more"] == [each.hit.text for each in words_of(open_).ambiguous]
    fallback = "fallbacks:\n  f: {tries: 2, do: act press it 2 more times, then: all-right, fails: all-right}\n"
    assert [(2, 2)] == [(each.told, each.counted) for each in words_of(fallback).retries]


def test_what_only_a_caution_asks_for_is_found() -> None:
    """A movement of a key that stands in an own caution and in no line is hidden; what a line does or names no key is not."""
    text = OWN_CAUTION
    hidden = words_of(text.format("wait 5 s", "Take O1 out first.")).hidden_doings
    assert ["take o1 out first"] == [mention.small.strip() for _, mention in hidden]
    assert () == words_of(text.format("remove O1", "Take O1 out first.")).hidden_doings
    assert () == words_of(text.format("wait 5 s", "Take the cable out first.")).hidden_doings
    assert () == words_of(text.format("wait 5 s", "Never take O1 out.")).hidden_doings
    assert () == step("Take O1 out.", "remove O1").hidden_doings


# The data.


def schema_refuses(path: list[str], value: object) -> bool:
    """Whether both validators refuse `speech.yaml` with one value changed."""
    spoilt = yaml.load((CATALOGUE / "speech.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    schema = json.loads((CATALOGUE / "schemas" / "speech.schema.json").read_text("utf-8"))
    at = spoilt
    for name in path[:-1]:
        at = at[name]
    at[path[-1]] = value
    is_valid = jsonschema_rs.Draft202012Validator(schema).is_valid(spoilt)
    assert is_valid == (not list(Draft202012Validator(schema).iter_errors(spoilt)))
    return not is_valid


def test_the_schema_of_speech_refuses_what_does_not_fit() -> None:
    """A limit that is none, a doing without verbs and a form that begins with a gap are refused; the file as it is fits."""
    assert not schema_refuses(["limits", "command"], "20")
    assert schema_refuses(["limits", "command"], "0")
    assert schema_refuses(["doings", "insert", "by"], [])
    assert schema_refuses(["doings", "insert", "says"], ["* in"])
    assert schema_refuses(["tries"], {"all": ["# tries"]})


def names_in(speech: object) -> Iterator[str]:
    """Give the verbs that `speech.yaml` names."""
    tree = cast("dict[str, dict[str, Any]]", speech)
    for doing in tree["doings"].values():
        yield from doing["by"]
    yield from (*tree["lamp"]["lit-by"], *tree["lamp"]["forgotten-by"], *tree["ring"]["read-by"], *tree["ring"]["parted-by"])


def test_speech_names_what_the_catalogue_has() -> None:
    """Each verb, kind and word that instructions are held against stands in the catalogue."""
    tree = yaml.load((CATALOGUE / "speech.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    assert set(names_in(tree)) | set(tree["seen-at-once"]) <= set(standard().actions)
    assert set(tree["compared"]) <= set(standard().kinds)
    assert tree["lamp"]["dark"] in standard().variables[tree["lamp"]["variable"]].values
    words_there = {word for kind in tree["compared"] for word in standard().kinds[kind].words}
    assert set(tree["spoken"]) <= words_there
    choices = set(standard().kinds["choice"].words)
    assert all(set(question["yes"]) <= choices for question in tree["screen-questions"].values())
