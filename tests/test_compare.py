"""What a contribution changes in meaning is told, exactly, both ways round, and nothing else is."""

import hashlib
import json
import random
import re
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import combinations, permutations
from pathlib import Path
from typing import TypeAlias

import networkx
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import FileStudy, study_file
from proclint.catalogue import standard
from proclint.compare import Comparison, Difference, Version, Weight, What, compare_flows, compare_libraries, in_order, is_reviewed
from proclint.compare.attempts import attempts
from proclint.compare.guards import guard_verbs
from proclint.compare.matching import likeness, matched, moved
from proclint.model import Block, canonical, digest

ROOT = Path(__file__).parents[1]
LIBRARY = ROOT / "procedures"
ON = "2026-11-25"
SEED = 20261125

PROCEDURE = """\
format: 1
id: corvane-halyard-add-key
title: Add a key
task: add-key
method: tool
learning: add
takes: 10-15-30 min
version: 3
stage: field-proven
written: {by: m-07, date: 2026-03-02}
reviewed: {by: m-02, date: 2026-03-11}
sources: [halyard-handbook]
vehicles:
  - {make: Corvane, model: Halyard, years: 2013-2015, markets: [region-1, region-2], ignition-kind: keyed, gearbox: manual}
keys:
  O: {kind: key, registered: true, here: 1-2}
  N: {kind: key, registered: false, here: 1, frequency: {region-1: 315 MHz, region-2: 433.92 MHz}}
slots: {key: 4}
start: {ignition: off, cylinder: empty}
cautions:
  mat: {signal: caution, hazard: The mat slips, consequence: You fall, avoid: Take it out}
windows:
  swap: {at-most: 20 s, late: again, source: halyard-handbook}
steps:
  papers: {do: [check-id, check-authorisation], fails: no-right}
  support: {caution: [low-battery-write, mat], do: connect-support 13.5 V, fails: as-it-was}
  power: {do: [plug tool, insert O1, turn O1 on], fails: as-it-was}
  open: {do: open-session, expect: the menu opens, within: 30 s, fails: again}
  mode:
    prompt: {says: "CLEAR? Y/N", choices: {Y: replace-all, N: add}, answer: N}
    expect: the screen shows NEXT
    fails: again
  swap:
    do: [{do: turn O1 off, opens: swap}, remove O1, insert N1, {do: turn N1 on, closes: swap}]
    fails: again
  learn: {caution: write-interrupted, do: {do: learn N1, expect: the lamp goes dark}, fails: again}
  leave: {do: [close-session, turn N1 off, remove N1], fails: some-dead}
  each: {for-each: {X: [O, N]}, follow: try-key 1, given: {K: X}, ways: {works: works, dead: some-dead}}
fallbacks:
  again:
    tries: 1
    do: [make-sure ignition off, wait 30-40 s, make-sure cylinder empty, insert O1, turn O1 on]
    ways: {done: open, fails: as-it-was}
endings:
  works: {kind: success, tell: It works.}
  no-right: {kind: as-found, tell: Nothing was touched.}
  as-it-was: {kind: as-found, tell: Nothing was changed.}
  some-dead: {kind: not-as-found, tell: A key does not work.}
"""

BLOCK = """\
block: try-key
version: 1
title: Try one key
given: {K: key}
before: {ignition: off, hood: closed}
exits: [works, dead]
steps:
  alone: {do: isolate K}
  crank: {do: start K, ways: {runs: works, stalls: dead, does not start: dead}}
"""

ABOUT = frozenset({What.CHANGED_WITHOUT_VERSION, What.CHANGED_SINCE_REVIEW})
Said: TypeAlias = list[tuple[str, str, str]]


def study(name: str, text: str, kind: str = "steps") -> FileStudy:
    """Read a text as a file."""
    return study_file(name, text.encode(), kind, standard(), on=ON)


def shelf_of(*studies: FileStudy) -> Shelf:
    """Put the blocks of some files on a shelf."""
    return Shelf({each.flow.id: each.flow for each in studies if isinstance(each.flow, Block)}, standard())


SHELF = shelf_of(study("blocks/try-key.yaml", BLOCK))


def compared(old: str, new: str, shelf: Shelf = SHELF) -> tuple[Difference, ...]:
    """Compare two texts of a procedure or block."""
    versions = [Version(study("file.yaml", text), shelf) for text in (old, new)]
    for each in versions:
        assert each.file.flow is not None, (each.file.faults, each.file.troubles)
    return compare_flows(versions[0], versions[1])


def told(differences: tuple[Difference, ...]) -> Said:
    """Give what is told of the content: the weight, what differs and the sentence."""
    return [(each.weight.name, each.what.value, each.said) for each in differences if each.what not in ABOUT]


def edited(text: str, old: str, new: str) -> str:
    """Put one part of a text in the place of another that stands in it once."""
    assert text.count(old) == 1, (text.count(old), old)
    return text.replace(old, new)


# One edit, and all that is told of it.
EDITS: list[tuple[str, str, Said]] = [
    (
        "caution: [low-battery-write, mat]",
        "caution: [mat]",
        [("LOST", "caution", "The caution 'low-battery-write' no longer stands before 'support'.")],
    ),
    (
        "    tries: 1\n",
        "    tries: 2\n",
        [("MORE", "tries", "Retry limit of 'again' 1 to 2: now 3 tries of 'swap' can be reached, before 2.")],
    ),
    (
        "    tries: 1\n",
        "",
        [
            ("LOST", "tries", "Retry limit of 'again' 1 to no limit: now nothing limits the tries of 'swap'."),
            ("MORE", "loop", "'open', 'mode', 'swap', 'learn', 'again' can now go round and round: no number ends it."),
        ],
    ),
    ("at-most: 20 s", "at-most: 12 s", [("LESS", "window", "Window 'swap': at most 12 s, before 20 s.")]),
    ("at-most: 20 s", "at-least: 20 s", []),
    ("slots: {key: 4}", "slots: {key: 5}", [("MORE", "cap", "Places for kind 'key': 5, before 4.")]),
    (
        "years: 2013-2015",
        "years: 2013-2016",
        [
            (
                "MORE",
                "vehicles",
                "Now also for Corvane Halyard 2016 (markets region-1|region-2, ignition-kind keyed, gearbox manual): 2 applications more.",
            )
        ],
    ),
    (
        "markets: [region-1, region-2], ig",
        "markets: region-2, ig",
        [
            (
                "LESS",
                "vehicles",
                "No longer for Corvane Halyard 2013-2015 (markets region-1, ignition-kind keyed, gearbox manual): 3 applications fewer.",
            )
        ],
    ),
    (
        "  papers: {do: [check-id, check-authorisation], fails: no-right}\n",
        "",
        [
            ("LOST", "guard", "'learn' can now be reached without 'check-authorisation' done before."),
            ("LOST", "step", "The step 'papers' is gone: check-id; check-authorisation."),
            ("LESS", "ending", "The ending 'no-right' can no longer be reached."),
        ],
    ),
    (
        "do: [check-id, check-authorisation]",
        "do: [check-id]",
        [
            ("LOST", "guard", "In 'papers', 'check-authorisation' is no longer done."),
            ("LOST", "guard", "'learn' can now be reached without 'check-authorisation' done before."),
        ],
    ),
    (
        "fails: no-right}",
        "fails: support}",
        [
            ("LOST", "guard", "'learn' can now be reached without 'check-authorisation' done before."),
            ("OTHER", "way", "From 'papers', 'fails' leads to 'support', before to 'no-right'."),
            ("LESS", "ending", "The ending 'no-right' can no longer be reached."),
        ],
    ),
    (
        "{works: works, dead: some-dead}",
        "{works: works, dead: works}",
        [("OTHER", "way", "From 'each', 'dead' leads to 'works', before to 'some-dead'.")],
    ),
    (
        "follow: try-key 1, given: {K: X}, ways: {works: works, dead: some-dead}",
        "do: act look at X, then: works",
        [
            ("LOST", "proof", "'works' can now be reached with no key tried after the last write."),
            ("LOST", "block", "'each' no longer follows 'try-key'."),
            ("OTHER", "action", "In 'each', 'act look at X' is now done as well."),
            ("OTHER", "way", "'each' no longer has a way for 'works', to 'works'."),
            ("OTHER", "way", "'each' no longer has a way for 'dead', to 'some-dead'."),
            ("OTHER", "way", "'each' now has a way for 'done', to 'works'."),
        ],
    ),
    (
        "answer: N",
        "answer: Y",
        [("MORE", "prompt", "At the prompt of 'mode' the answer is 'Y' (replace-all), before 'N' (add).")],
    ),
    ("CLEAR? Y/N", "ERASE? Y/N", [("OTHER", "prompt", "The screen says 'ERASE? Y/N', before 'CLEAR? Y/N'.")]),
    (
        "wait 30-40 s",
        "wait 10-40 s",
        [("MORE", "action", "In 'again', 'wait 10-40 s' is done, before it was 'wait 30-40 s'.")],
    ),
    (
        "within: 30 s",
        "within: 40 s",
        [("MORE", "time", "In 'open', the sign at 'open-session' may take 40 s, before 30 s.")],
    ),
    (
        "expect: the menu opens, within: 30 s, ",
        "",
        [
            ("LOST", "action", "In 'open', no sign is looked for any more at 'open-session'; before it was 'the menu opens'."),
            ("LOST", "time", "In 'open', the sign at 'open-session' may take any time, before 30 s."),
        ],
    ),
    ("315 MHz", "433.92 MHz", [("OTHER", "keys", "Keys N, frequency, region-1: '433.92 MHz', before '315 MHz'.")]),
    ("here: 1-2}", "here: 1-3}", [("MORE", "keys", "Keys O here: 1-3, before 1-2.")]),
    (
        "try-key 1",
        "try-key 2",
        [
            ("OTHER", "block", "'each' follows 'try-key' 2, before 'try-key' 1."),
            (
                "UPKEEP",
                "block-changed-since-review",
                "The review by m-02 of 2026-03-11 saw 'try-key' 1, and now it is 2.",
            ),
        ],
    ),
    ("[O, N]", "[N]", [("OTHER", "loop", "'each' is done for each key X of N, before for each key X of O and N.")]),
    (
        "insert N1, {",
        "{",
        [("OTHER", "action", "In 'swap', 'insert N1' is no longer done.")],
    ),
    (
        "remove O1, insert N1",
        "insert N1, remove O1",
        [("OTHER", "action", "In 'swap', 'remove O1' now comes at another place among the lines.")],
    ),
    (
        "opens: swap}",
        "opens: swap at start}",
        [
            ("LOST", "window", "In 'swap', 'turn O1 off' no longer opens the window 'swap' at its end."),
            ("GAINED", "window", "In 'swap', 'turn O1 off' now opens the window 'swap' at its start."),
        ],
    ),
    (
        "kind: success",
        "kind: referred",
        [("LESS", "ending", "The ending 'works' counts as referred, before as success.")],
    ),
    ("{signal: caution", "{signal: notice", [("LOST", "caution", "The signal word of 'mat' is notice, before caution.")]),
    ("start: {ignition: off, ", "start: {", [
        ("LOST", "state", "At the start, nothing is said any more of ignition; before, it was off."),
    ]),
    ("takes: 10-15-30 min", "takes: 10-20-30 min", [("OTHER", "time", "Takes: '10-20-30 min', before '10-15-30 min'.")]),
    ("title: Add a key", "title: Add keys", [("WORDS", "text", "Title: 'Add keys', before 'Add a key'.")]),
    ("tell: It works.", "tell: All is well.", [
        ("WORDS", "text", "At 'works' the customer is told 'All is well.', before 'It works.'."),
    ]),
    ("sources: [halyard-handbook]", "sources: [halyard-handbook, log-31]", [
        ("UPKEEP", "source", "It now rests on the source 'log-31' too."),
    ]),
    ("version: 3", "version: 2", [("UPKEEP", "version", "Version 2, before 3. It goes back.")]),
    ("id: corvane-halyard-add-key", "id: corvane-halyard-key", [
        ("UPKEEP", "renamed", "'corvane-halyard-add-key' is now called 'corvane-halyard-key'."),
    ]),
]


@pytest.mark.parametrize(("old", "new", "expected"), [each for each in EDITS if each[2]], ids=lambda each: str(each)[:30])
def test_one_edit(old: str, new: str, expected: Said) -> None:
    """One edit gives exactly the sentences that tell what it means, the most dangerous first."""
    assert expected == told(compared(PROCEDURE, edited(PROCEDURE, old, new)))


def test_bounds_of_a_window() -> None:
    """A most that becomes a least is a guard that is gone and one that is new."""
    found = told(compared(PROCEDURE, edited(PROCEDURE, "at-most: 20 s", "at-least: 20 s")))
    assert [
        ("LOST", "window", "Window 'swap': at most any time, before 20 s."),
        ("GAINED", "window", "Window 'swap': at least 20 s, before any time."),
    ] == found


def renamed(text: str, old: str, new: str) -> str:
    """Call something otherwise wherever it is named."""
    return re.sub(rf"(?<![\w-]){old}(?![\w-])", new, text)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("again", "once-more", "The step 'again' is now called 'once-more'."),
        ("as-it-was", "unchanged", "The ending 'as-it-was' is now called 'unchanged'."),
        ("leave", "put-back", "The step 'leave' is now called 'put-back'."),
    ],
)
def test_renaming_is_told_as_that(old: str, new: str, sentence: str) -> None:
    """What is called otherwise, and is named so by all ways that lead to it, is one difference and not two."""
    assert [("WORDS", "renamed", sentence)] == told(compared(PROCEDURE, renamed(PROCEDURE, old, new)))


def test_renaming_a_window() -> None:
    """A window that is called otherwise is told as that, with the lines that open and close it left alone."""
    text = PROCEDURE.replace("swap: {at", "hurry: {at").replace("opens: swap", "opens: hurry").replace("closes: swap", "closes: hurry")
    assert [("WORDS", "renamed", "The window 'swap' is now called 'hurry'.")] == told(compared(PROCEDURE, text))


def test_renamed_and_changed() -> None:
    """A step that is called otherwise and changed is told as both."""
    text = edited(renamed(PROCEDURE, "again", "once-more"), "wait 30-40 s", "wait 40-50 s")
    assert [
        ("LESS", "action", "In 'once-more', 'wait 40-50 s' is done, before it was 'wait 30-40 s'."),
        ("WORDS", "renamed", "The step 'again' is now called 'once-more'."),
    ] == told(compared(PROCEDURE, text))


def test_moving_a_step() -> None:
    """A step at another place of the main line is moved; it is not gone and new, and its neighbours are not told."""
    line = "  support: {caution: [low-battery-write, mat], do: connect-support 13.5 V, fails: as-it-was}\n"
    other = "  power: {do: [plug tool, insert O1, turn O1 on], fails: as-it-was}\n"
    found = told(compared(PROCEDURE, edited(PROCEDURE, line + other, other + line)))
    assert [("OTHER", "moved", "'power' now comes after 'papers'.")] == found


def test_moving_a_caution_and_a_line() -> None:
    """A caution or a line that went from one step to another is told as that, and not as gone and new."""
    text = edited(PROCEDURE, "caution: [low-battery-write, mat]", "caution: [mat]")
    text = edited(text, "power: {do: [", "power: {caution: low-battery-write, do: [check-part N1, ")
    old = edited(PROCEDURE, "do: connect-support 13.5 V", "do: [connect-support 13.5 V, check-part N1]")
    text = edited(text, "do: [check-id", "do: [check-id")
    assert [
        ("OTHER", "caution", "The caution 'low-battery-write' went from 'support' to 'power'."),
        ("OTHER", "guard", "'check-part N1' went from 'support' to 'power'."),
    ] == told(compared(old, text))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Add a key", "title:   'Add a key'   # a note"),
        ("fails: no-right}", "ways: {fails: no-right}}"),
        ("do: open-session", "do: [open-session]"),
        ("swap: {at-most: 20 s, late: again, source: halyard-handbook}", "swap: {source: [halyard-handbook], late: again, at-most: 20 s}"),
        ("turn O1 off, opens", "{turn: {key: O1, position: off}}, opens"),
        ("tries: 1\n", "tries: 1   \n"),
        ("dead: some-dead}}", "fails: some-dead}}"),
        ("do: connect-support 13.5 V, fails: as-it-was}", "do: connect-support 13.5 V, then: power, fails: as-it-was}"),
    ],
)
def test_other_forms_of_the_same(old: str, new: str) -> None:
    """What says the same in another form, or in a comment, is no change in meaning."""
    assert () == compared(PROCEDURE, edited(PROCEDURE, old, new))


def shuffled(text: str, rng: random.Random) -> str:
    """Write a file anew with its names in any order, `steps` apart, whose order is the main line."""

    def mixed(value: object, name: str = "") -> object:
        if isinstance(value, dict):
            pairs = list(value.items())
            if name != "steps":
                rng.shuffle(pairs)
            return {key: mixed(each, key) for key, each in pairs}
        return [mixed(each) for each in value] if isinstance(value, list) else value

    return yaml.safe_dump(mixed(yaml.load(text, yaml.BaseLoader)), sort_keys=False, allow_unicode=True)


@cache
def library() -> dict[str, FileStudy]:
    """Read the procedures and blocks of the library."""
    paths = sorted(path for path in LIBRARY.glob("*/*.yaml"))
    return {str(path.relative_to(ROOT)): study(str(path.relative_to(ROOT)), path.read_text("utf-8")) for path in paths}


@pytest.mark.parametrize("name", library())
def test_order_of_names_means_nothing(name: str) -> None:
    """A file of the library against itself, and against itself with its names in another order, gives nothing."""
    text, shelf = library()[name].text.text, shelf_of(*library().values())
    other = shuffled(text, random.Random(SEED))
    assert () == compared(text, text, shelf)
    assert text != other
    assert () == compared(text, other, shelf)
    assert digest(library()[name].at.node) == digest(study(name, other).at.node)


def one_line_changes(text: str) -> Iterator[str]:
    """Give a text with one line gone, or two exchanged, or one number, word or item of a line changed."""
    lines = text.split("\n")
    for at, line in enumerate(lines):
        if line.strip() and not line.strip().startswith("#"):
            changed = ["", *_numbers(line), *_without_parts(line), *_words(line)]
            for each in changed:
                yield "\n".join([*lines[:at], *([each] if each else []), *lines[at + 1 :]])
            yield "\n".join([*lines[:at], *reversed(lines[at : at + 2]), *lines[at + 2 :]])


def _numbers(line: str) -> Iterator[str]:
    for found in re.finditer(r"\d+", line):
        yield f"{line[: found.start()]}{int(found[0]) + 1}{line[found.end() :]}"


def _without_parts(line: str) -> Iterator[str]:
    for found in re.finditer(r"[\w-]+: [^,{}\[\]]+, |, [^,{}\[\]]+(?=[\]}])", line):
        yield line[: found.start()] + line[found.end() :]


def _words(line: str) -> Iterator[str]:
    for found in re.finditer(r"[a-z]{3,}(?=[,}\]]|$)", line):
        yield f"{line[: found.end()]}x{line[found.end() :]}"


# Of these edits of library files the meaning stays: a way that says what holds without it, an actor who is meant anyway.
SAME_MEANING = re.compile(r"^.*(?:spent: [a-z-]+|by: technician).*$")


@pytest.mark.parametrize("number", [112, pytest.param(11_200, marks=pytest.mark.long)])
def test_every_edit_of_one_line_is_told(number: int) -> None:
    """Each edit of one line that leaves a file readable and says something else is told, and mirrored by its undoing."""
    shelf = shelf_of(*library().values())
    edits = [(name, each) for name, file in library().items() for each in one_line_changes(file.text.text)]
    seen: Counter[str] = Counter()
    for name, text in random.Random(SEED).sample(edits, min(number, len(edits))):
        old, new = library()[name], study(name, text)
        if new.flow is None:
            seen["cannot be read"] += 1
            continue
        there, back = (compare_flows(Version(a, shelf), Version(b, shelf)) for a, b in ((old, new), (new, old)))
        mirrored = Counter((each.what, each.weight.mirrored, each.at_new, each.at_old) for each in there)
        assert mirrored == Counter((each.what, each.weight, each.at_old, each.at_new) for each in back), text
        if canonical(old.at.node) == canonical(new.at.node):
            seen["says the same"] += 1
            assert () == there
        elif told(there):
            seen["told"] += 1
        else:
            seen["means the same"] += 1
            assert SAME_MEANING.match(only_line(old.text.text, text)), only_line(old.text.text, text)
    print(dict(seen))
    assert seen["told"] > number / 3


def only_line(old: str, new: str) -> str:
    """Give the first line of the old text that differs."""
    return next(one for one, other in zip(old.split("\n"), new.split("\n"), strict=False) if one != other)


def test_version_and_review_are_held_to_the_content() -> None:
    """A change of meaning without a new version, and one after the review, are told; with both new, neither is."""
    text = edited(PROCEDURE, "slots: {key: 4}", "slots: {key: 3}")
    said = [each.said for each in compared(PROCEDURE, text) if each.what in ABOUT]
    assert [
        "The content differs and the version is 3 in both: printed sheets cannot be told apart.",
        "The review by m-02 of 2026-03-11 saw another text.",
    ] == said
    text = edited(edited(text, "version: 3", "version: 4"), "m-02, date: 2026-03-11", "m-05, date: 2026-04-01")
    assert [] == [each for each in compared(PROCEDURE, text) if each.what in ABOUT]


def test_version_alone_is_no_content() -> None:
    """A new version or review with nothing else is told as that, and asks for nothing."""
    text = edited(edited(PROCEDURE, "version: 3", "version: 4"), "date: 2026-03-11", "date: 2026-03-12")
    assert [
        (What.VERSION, "Version 4, before 3."),
        (What.REVIEW, "Reviewed, date: '2026-03-12', before '2026-03-11'."),
    ] == [(each.what, each.said) for each in compared(PROCEDURE, text)]


def test_block() -> None:
    """A block is compared as a procedure is, with its exits, what it is given and what it asks for before."""
    text = edited(BLOCK, "before: {ignition: off, hood: closed}", "before: {ignition: off}")
    text = edited(text, "exits: [works, dead]", "exits: [dead, works]")
    text = edited(text, "given: {K: key}", "given: {K: keys}")
    assert [
        ("LOST", "state", "Before the block, nothing is said any more of hood; before, it was closed."),
        ("OTHER", "ending", "The exit that the block is meant to end by is 'dead', before 'works'."),
        ("OTHER", "keys", "Given, K: 'keys', before 'key'."),
    ] == told(compared(BLOCK, text))


def test_places() -> None:
    """A difference stands at what is written in each version, and in one only where the other has nothing."""
    text = edited(PROCEDURE, "slots: {key: 4}", "slots: {key: 5, remote: 2}")
    places = [(each.at_old, each.at_new) for each in compared(PROCEDURE, text) if each.what is What.CAP]
    shown = [[each and (each.path, edited_at(each.start, text, PROCEDURE)) for each in pair] for pair in places]
    assert [[(("slots", "key"), "4"), (("slots", "key"), "5")], [None, (("slots", "remote"), "2")]] == [
        [shown[0][0], shown[0][1]],
        [shown[1][0], shown[1][1]],
    ] or [[None, (("slots", "remote"), "2")], [(("slots", "key"), "4"), (("slots", "key"), "5")]] == shown
