"""What a contribution changes in meaning is told, exactly, both ways round, and nothing else is."""

import hashlib
import json
import random
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
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
from proclint.compare import (
    Comparison,
    Difference,
    Version,
    Weight,
    What,
    compare_flows,
    compare_libraries,
    in_order,
    is_reviewed,
)
from proclint.compare.attempts import attempts
from proclint.compare.guards import guard_verbs
from proclint.compare.matching import likeness, matched, moved
from proclint.model import Block, Line, Procedure, Step, Vehicles, canonical, digest
from proclint.source import Place

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
    found = compare_flows(versions[0], versions[1])
    assert not found.not_compared
    return found.differences


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
        [("MORE", "tries", "Retry limit of 'again' 1 to 2: now 3 tries of 'learn' can be reached, before 2.")],
    ),
    (
        "    tries: 1\n",
        "",
        [
            ("LOST", "tries", "Retry limit of 'again' 1 to no limit: now nothing limits the tries of 'learn'."),
            ("MORE", "loop", "'open', 'mode', 'swap', 'learn', 'again' can now go round and round: no number ends it."),
        ],
    ),
    ("at-most: 20 s", "at-most: 12 s", [("LESS", "window", "Window 'swap': at most 12 s, before 20 s.")]),
    (
        "at-most: 20 s",
        "at-least: 20 s",
        [
            ("LOST", "window", "Window 'swap': at most any time, before 20 s."),
            ("GAINED", "window", "Window 'swap': at least 20 s, before any time."),
        ],
    ),
    ("slots: {key: 4}", "slots: {key: 5}", [("MORE", "cap", "Places for kind 'key': 5, before 4.")]),
    (
        "years: 2013-2015",
        "years: 2013-2016",
        [
            (
                "MORE",
                "vehicles",
                "Now also for Corvane Halyard 2016: 2 applications more.",
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
                "No longer for Corvane Halyard 2013-2015 (markets region-1): 3 applications fewer.",
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
        [
            ("LOST", "proof", "'works' can now be reached with no key having worked after the last write."),
            ("OTHER", "way", "From 'each', 'dead' leads to 'works', before to 'some-dead'."),
        ],
    ),
    (
        "follow: try-key 1, given: {K: X}, ways: {works: works, dead: some-dead}",
        "do: act look at X, then: works",
        [
            ("LOST", "proof", "'works' can now be reached with no key having worked after the last write."),
            ("LOST", "block", "'each' no longer follows 'try-key'."),
            ("OTHER", "action", "In 'each', 'act look at X' is now done as well."),
            ("OTHER", "way", "From 'each', 'done' leads to 'works'; before, 'works' did."),
            ("OTHER", "way", "'each' no longer has a way for 'dead', to 'some-dead'."),
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
        [("OTHER", "window", "In 'swap', 'turn O1 off' opens the window 'swap' at its start, before at its end.")],
    ),
    (
        "kind: success",
        "kind: referred",
        [("LESS", "ending", "The ending 'works' counts as referred, before as success.")],
    ),
    ("{signal: caution", "{signal: notice", [("LOST", "caution", "The signal word of 'mat' is notice, before caution.")]),
    (
        "start: {ignition: off, ",
        "start: {",
        [
            ("LOST", "state", "At the start, nothing is said any more of ignition; before, it was off."),
        ],
    ),
    ("takes: 10-15-30 min", "takes: 10-20-30 min", [("OTHER", "time", "Takes: '10-20-30 min', before '10-15-30 min'.")]),
    ("title: Add a key", "title: Add keys", [("WORDS", "text", "Title: 'Add keys', before 'Add a key'.")]),
    (
        "tell: It works.",
        "tell: All is well.",
        [
            ("WORDS", "text", "At 'works' the customer is told 'All is well.', before 'It works.'."),
        ],
    ),
    (
        "sources: [halyard-handbook]",
        "sources: [halyard-handbook, log-31]",
        [
            ("UPKEEP", "source", "It now rests on the source 'log-31' too."),
        ],
    ),
    ("version: 3", "version: 2", [("UPKEEP", "version", "Version 2, before 3. It goes back.")]),
    (
        "id: corvane-halyard-add-key",
        "id: corvane-halyard-key",
        [
            ("UPKEEP", "renamed", "'corvane-halyard-add-key' is now called 'corvane-halyard-key'."),
        ],
    ),
    (
        "  power: {do: [plug tool, insert O1, turn O1 on]",
        "  power: {do: [{do: plug tool, only-if: O.here >= 2}, insert O1, {do: turn O1 on, takes: 2-4 s, source: log-31}]",
        [
            ("OTHER", "action", "In 'power', 'plug tool' is done only if O.here >= 2, before always."),
            ("OTHER", "time", "In 'power', 'turn O1 on' takes 2-4 s, before nothing written."),
            ("UPKEEP", "source", "In 'power', the source of 'turn O1 on' is log-31, before nothing."),
        ],
    ),
    (
        "do: [check-id, check-authorisation]",
        "do: [check-id, {do: check-authorisation, only-if: O.here >= 2}]",
        [("LOST", "guard", "In 'papers', 'check-authorisation' is done only if O.here >= 2, before always.")],
    ),
    (
        "make-sure cylinder empty, insert",
        "{do: make-sure cylinder empty, repeat: 2}, insert",
        [("OTHER", "action", "In 'again', 'make-sure cylinder empty' is done 2 times, before 1.")],
    ),
    (
        "do: open-session, expect",
        "do: open-session, by: technician, expect",
        [("OTHER", "action", "In 'open', 'open-session' is done by the technician, before by the equipment.")],
    ),
    (
        "expect: the menu opens",
        "expect: the list opens",
        [("OTHER", "action", "In 'open', 'open-session' has worked when 'the list opens' is seen, before 'the menu opens'.")],
    ),
    (
        "expect: the lamp goes dark}, fails: again}",
        "expect: the lamp goes dark}, fails: again, meanwhile: {do: tap tool, every: 4 min}}",
        [("OTHER", "action", "During 'learn', 'tap tool' is now done as well.")],
    ),
    (
        ", late: again, source: halyard-handbook}",
        ", late: as-it-was, source: log-31}",
        [
            ("OTHER", "way", "Who is late in window 'swap' goes to 'as-it-was', before to 'again'."),
            ("UPKEEP", "source", "The source of window 'swap' is log-31, before halyard-handbook."),
        ],
    ),
    (
        "windows:\n  swap: {at-most: 20 s, late: again, source: halyard-handbook}\n",
        "windows:\n  swap: {at-most: 20 s, late: again, source: halyard-handbook}\n  rest: {at-most: 90 s, at-least: 2 s}\n",
        [("GAINED", "window", "The window 'rest' (at most 90 s and at least 2 s) is new.")],
    ),
    (
        "  mat: {signal: caution, hazard: The mat slips, consequence: You fall, avoid: Take it out}",
        "  mat: {signal: warning, hazard: The mat slips, consequence: You fall hard, avoid: Take it out}",
        [
            ("OTHER", "caution", "The consequence in the caution 'mat' reads 'You fall hard', before 'You fall'."),
            ("GAINED", "caution", "The signal word of 'mat' is warning, before caution."),
        ],
    ),
    (
        "cautions:\n",
        "cautions:\n  ice: {signal: warning, hazard: Ice on the ground, consequence: You fall, avoid: Put down grit}\n",
        [("GAINED", "caution", "The words of the caution 'ice' are new: Ice on the ground.")],
    ),
    (
        "caution: [low-battery-write, mat]",
        "caution: [low-battery-write, mat, pinch]",
        [("GAINED", "caution", "The caution 'pinch' now stands before 'support'.")],
    ),
    (
        '    prompt: {says: "CLEAR? Y/N", choices: {Y: replace-all, N: add}, answer: N}\n    expect',
        "    do: select same\n    expect",
        [
            ("OTHER", "prompt", "The prompt 'CLEAR? Y/N' is gone from 'mode'."),
            ("OTHER", "action", "In 'mode', 'select same' is now done as well."),
        ],
    ),
    (
        "choices: {Y: replace-all, N: add}, answer: N}",
        "choices: {Y: erase-all, N: add}, answer: N, means: Keep them.}",
        [
            ("OTHER", "prompt", "The choices at 'mode' are 'Y' (erase-all), 'N' (add), before 'Y' (replace-all), 'N' (add)."),
            ("WORDS", "text", "The note on the prompt of 'mode' reads 'Keep them.', before nothing."),
        ],
    ),
    (
        "choices: {Y: replace-all, N: add}, answer: N}",
        "choices: {Y: replace-all, N: add}}",
        [("OTHER", "prompt", "At the prompt of 'mode' the answer is none, before 'N' (add).")],
    ),
    (
        "  leave: {do: [close-session",
        "  leave: {instruction: Close and take N1 out., takes: 10-20 s, source: halyard-handbook, do: [close-session",
        [
            ("OTHER", "time", "'leave' takes 10-20 s, before nothing written."),
            ("UPKEEP", "source", "The source of 'leave' is halyard-handbook, before nothing."),
            ("WORDS", "text", "The instruction of 'leave' reads 'Close and take N1 out.', before nothing."),
        ],
    ),
    (
        "  leave: {do: [close-session, turn N1 off, remove N1], fails: some-dead}",
        "  leave: {ask: Is it out?, ways: {'yes': each, 'no': some-dead}}",
        [
            ("OTHER", "action", "In 'leave', 'close-session' is no longer done."),
            ("OTHER", "action", "In 'leave', 'turn N1 off' is no longer done."),
            ("OTHER", "action", "In 'leave', 'remove N1' is no longer done."),
            ("OTHER", "way", "From 'leave', 'no' leads to 'some-dead'; before, 'fails' did."),
            ("OTHER", "way", "'leave' now has a way for 'yes', to 'each'."),
            ("OTHER", "text", "'leave' asks 'Is it out?', before nothing."),
        ],
    ),
    ("given: {K: X}", "given: {K: O1}", [("OTHER", "block", "'each' follows 'try-key' with K = O1, before with K = X.")]),
    ("for-each: {X: [O, N]}, ", "repeat: 2, ", [("OTHER", "loop", "'each' is done 2 times, before for each key X of O and N.")]),
    (
        "keys:\n",
        "keys:\n  V: {kind: valet, registered: true, here: 1}\n",
        [("OTHER", "keys", "The keys V are new: of kind 'valet', 1 here, the vehicle knows them.")],
    ),
    (
        "  N: {kind: key, registered: false, here: 1, ",
        "  N: {kind: fob, registered: true, here: 2-3, cut: true, source: log-31, ",
        [
            ("OTHER", "keys", "Keys N here: 2-3, before 1."),
            ("OTHER", "keys", "Keys N, kind: 'fob', before 'key'."),
            ("OTHER", "keys", "Keys N, registered: 'true', before 'false'."),
            ("OTHER", "keys", "Keys N, cut: 'true' is new."),
            ("UPKEEP", "source", "Keys N, source: 'log-31' is new."),
        ],
    ),
    (
        "works: {kind: success, tell",
        "works: {kind: success, through: close-out 2, tell",
        [("GAINED", "block", "Before the ending 'works', 'close-out' 2 is run, before nothing.")],
    ),
    (
        "kind: as-found, tell: Nothing was touched.",
        "kind: success, tell: Nothing was touched.",
        [("MORE", "ending", "The ending 'no-right' counts as success, before as as-found.")],
    ),
    (
        "start: {ignition: off, ",
        "start: {ignition: on, hood: closed, ",
        [
            ("OTHER", "state", "At the start, ignition is on, before off."),
            ("GAINED", "state", "At the start, hood now has to be closed."),
        ],
    ),
    (
        "ignition-kind: keyed, gearbox: manual}",
        "ignition-kind: keyed, variants: {A: A dial, B: A knob}}",
        [
            (
                "MORE",
                "vehicles",
                "Now also for Corvane Halyard 2013-2015 (gearbox automatic, variant A|B): 12 applications more.",
            ),
            ("LESS", "vehicles", "No longer for Corvane Halyard 2013-2015 (gearbox manual, variant C|D): 12 applications fewer."),
        ],
    ),
    (
        "sources: [halyard-handbook]",
        "sources: [log-31]",
        [
            ("UPKEEP", "source", "It no longer rests on the source 'halyard-handbook'."),
            ("UPKEEP", "source", "It now rests on the source 'log-31' too."),
        ],
    ),
    ("learning: add", "learning: replace-all", [("MORE", "job", "Learning: 'replace-all', before 'add'.")]),
    ("stage: field-proven", "stage: draft", [("OTHER", "job", "Stage: 'draft', before 'field-proven'.")]),
    ("written: {by: m-07", "written: {by: m-08", [("UPKEEP", "review", "Written, by: 'm-08', before 'm-07'.")]),
    (
        "reviewed: {by: m-02, date: 2026-03-11}\n",
        "",
        [("UPKEEP", "review", "Reviewed, by: 'm-02' is gone."), ("UPKEEP", "review", "Reviewed, date: '2026-03-11' is gone.")],
    ),
    (
        "ways: {done: open, fails: as-it-was}",
        "ways: {done: open, fails: as-it-was, spent: some-dead}",
        [("OTHER", "way", "From 'again', 'spent' leads to 'some-dead', before to 'as-it-was'.")],
    ),
    (
        "ways: {works: works, dead: some-dead}",
        "ways: {works: works}",
        [("LOST", "way", "When 'each' ends with 'dead', nothing says what follows; before, 'some-dead' did.")],
    ),
    (
        "ways: {works: works, dead: some-dead}",
        "ways: {works: works, dead: some-dead, stuck: some-dead}",
        [("UPKEEP", "way", "'each' has a new way for 'stuck', which no outcome takes.")],
    ),
    (
        "make-sure cylinder empty, insert O1, turn O1 on]",
        "make-sure cylinder empty, insert O1, turn O1 on, act press, act wait]",
        [
            ("OTHER", "action", "In 'again', 'act press' is now done as well."),
            ("OTHER", "action", "In 'again', 'act wait' is now done as well."),
        ],
    ),
    (
        "fallbacks:\n",
        "fallbacks:\n  more: {do: erase keys, then: open, fails: some-dead}\n",
        [("MORE", "step", "The fallback 'more' is new: erase keys.")],
    ),
    (
        "  leave: {do: [close-session, turn N1 off, remove N1], fails: some-dead}\n",
        "",
        [("OTHER", "step", "The step 'leave' is gone: close-session; turn N1 off; remove N1.")],
    ),
    ("  swap: {at-most: 20 s", "  swap: {at-most: 1.5 s", [("LESS", "window", "Window 'swap': at most 1.5 s, before 20 s.")]),
    (
        "tries: 1\n    do: [make-sure ignition off, wait 30-40 s",
        "tries: 1\n    do: [make-sure ignition off, wait 30-50 s",
        [("OTHER", "action", "In 'again', 'wait 30-50 s' is done, before it was 'wait 30-40 s'.")],
    ),
]


@pytest.mark.parametrize(("old", "new", "expected"), EDITS, ids=lambda each: str(each)[:30])
def test_one_edit(old: str, new: str, expected: Said) -> None:
    """One edit gives exactly the sentences that tell what it means, the most dangerous first."""
    assert expected == told(compared(PROCEDURE, edited(PROCEDURE, old, new)))


@pytest.mark.parametrize(("old", "new", "expected"), EDITS, ids=lambda each: str(each)[:30])
def test_one_edit_undone(old: str, new: str, expected: Said) -> None:
    """What an edit is told as, its undoing is told as the other way round."""
    found = told(compared(edited(PROCEDURE, old, new), PROCEDURE))
    mirrored = Counter((Weight[weight].mirrored.name, what) for weight, what, _ in expected)
    assert mirrored == Counter((weight, what) for weight, what, _ in found)


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
    text = (
        PROCEDURE.replace("swap: {at", "hurry: {at")
        .replace("opens: swap", "opens: hurry")
        .replace("closes: swap", "closes: hurry")
    )
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
    assert [("OTHER", "moved", "'support' now comes after 'power'.")] == found


def test_moving_a_caution_and_a_line() -> None:
    """A caution or a line that went from one step to another is told as that, and not as gone and new."""
    text = edited(PROCEDURE, "caution: [low-battery-write, mat]", "caution: [mat]")
    text = edited(text, "power: {do: [", "power: {caution: low-battery-write, do: [check-part N1, ")
    old = edited(PROCEDURE, "do: connect-support 13.5 V", "do: [connect-support 13.5 V, check-part N1]")
    assert [
        ("OTHER", "caution", "The caution 'low-battery-write' went from 'support' to 'power'."),
        ("OTHER", "guard", "'check-part N1' went from 'support' to 'power'."),
    ] == told(compared(old, text))


POWER = "  power: {do: [plug tool, insert O1, turn O1 on], fails: as-it-was}\n"
IN_TWO = "  power: {do: plug tool, fails: as-it-was}\n  key-in: {do: [insert O1, turn O1 on], fails: as-it-was}\n"
SUPPORT = "  support: {caution: [low-battery-write, mat], do: connect-support 13.5 V, fails: as-it-was}\n"
WARNED_APART = (
    "  ready: {caution: [low-battery-write, mat], do: check-part N1, fails: as-it-was}\n"
    "  support: {do: connect-support 13.5 V, fails: as-it-was}\n"
)


def test_splitting_a_step() -> None:
    """What a step that is split gives to the new one went there, either way round; no guard came or went with it."""
    found = told(compared(PROCEDURE, edited(PROCEDURE, POWER, IN_TWO)))
    assert [
        ("OTHER", "step", "The step 'key-in' is new: insert O1; turn O1 on."),
        ("OTHER", "action", "'insert O1', 'turn O1 on' went from 'power' to 'key-in'."),
    ] == found
    assert [
        ("OTHER", "step", "The step 'key-in' is gone: insert O1; turn O1 on."),
        ("OTHER", "action", "'insert O1', 'turn O1 on' went from 'key-in' to 'power'."),
    ] == told(compared(edited(PROCEDURE, POWER, IN_TWO), PROCEDURE))


def test_a_caution_that_went_to_a_new_step() -> None:
    """A caution is not gone with the step that it went to; what the new step guards by itself is new."""
    text = edited(PROCEDURE, SUPPORT, WARNED_APART)
    moved_to = "The cautions 'low-battery-write', 'mat' went from 'support' to 'ready'."
    assert [
        ("OTHER", "caution", moved_to),
        ("GAINED", "guard", "'learn' can no longer be reached without 'check-part' done before."),
        ("GAINED", "step", "The step 'ready' is new: check-part N1, with the caution 'low-battery-write', 'mat'."),
    ] == told(compared(PROCEDURE, text))
    plain = text.replace("check-part N1", "act look around")
    assert [
        ("OTHER", "caution", moved_to),
        ("OTHER", "step", "The step 'ready' is new: act look around, with the caution 'low-battery-write', 'mat'."),
    ] == told(compared(PROCEDURE, plain))


def test_a_step_in_the_place_of_another() -> None:
    """Between a step that is gone and one that is new nothing went."""
    new = "  start-up: {caution: coin-cell, do: [fit-cell N1, check-part N1, plug tool], fails: as-it-was}\n"
    found = told(compared(PROCEDURE, edited(PROCEDURE, POWER, new)))
    assert [] == [said for _, _, said in found if " went " in said]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Add a key", "title:   'Add a key'   # a note"),
        ("fails: no-right}", "ways: {fails: no-right}}"),
        ("do: open-session", "do: [open-session]"),
        (
            "swap: {at-most: 20 s, late: again, source: halyard-handbook}",
            "swap: {source: [halyard-handbook], late: again, at-most: 20 s}",
        ),
        ("turn O1 off, opens", "{turn: {key: O1, position: off}}, opens"),
        ("tries: 1\n", "tries: 1   \n"),
        ("takes: 10-15-30 min", "takes: 600-900-1800 s"),
        ("wait 30-40 s", "wait 30.0-40 s"),
        ("within: 30 s", "within: 0.5 min"),
        ("region-1: 315 MHz", "region-1: 315.0 MHz"),
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


def meaning(version: Version) -> object:
    """Give all that the model knows of a flow without places and wordings of a line, with ways as they are taken."""
    assert version.file.flow is not None
    written = Study(version.file.flow, version.shelf, ON, Limits()).written

    def parts(value: object) -> tuple[object, ...] | None:
        match value:
            case Step():
                exits = frozenset((each.outcome, each.target) for each in written.steps[value.name].exits)
                return (exits, *(getattr(value, name) for name in value._fields if name not in ("at", "ways")))
            case Line():
                left_out = ("at", "text", "action", "is_by_written")
                return tuple(getattr(value, name) for name in value._fields if name not in left_out)
            case Vehicles():
                # What is left out means all.
                words = {name: frozenset(standard().attributes[name].words) for name in ("gearbox", "high-voltage")}
                kinds = frozenset(value.gearbox) or words["gearbox"], frozenset(value.high_voltage) or words["high-voltage"]
                return (
                    value.make,
                    value.model,
                    value.years,
                    value.build,
                    value.markets,
                    value.ignition_kind,
                    kinds,
                    value.variants,
                )
            case Mapping():
                return tuple(value.items())
            case tuple():
                return value
        return tuple(getattr(value, each.name) for each in fields(value)) if is_dataclass(value) else None

    def bare(value: object) -> object:
        inside = parts(value)
        return (None if isinstance(value, Place) else value) if inside is None else tuple(map(bare, inside))

    return bare(version.file.flow)


@pytest.mark.parametrize("number", [112, pytest.param(11_200, marks=pytest.mark.long)])
def test_every_edit_of_one_line_is_told(number: int) -> None:
    """Each edit of one line that leaves a file readable and says something else is told, and mirrored by its undoing."""
    shelf = shelf_of(*library().values())
    edits = [(name, each) for name, file in library().items() for each in one_line_changes(file.text.text)]
    seen: Counter[str] = Counter()
    for name, text in random.Random(SEED).sample(edits, min(number, len(edits))):
        old, new = library()[name], study(name, text)
        if new.flow is None or not new.is_sound:
            seen["cannot be read"] += 1
            continue
        there, back = (compare_flows(Version(a, shelf), Version(b, shelf)).differences for a, b in ((old, new), (new, old)))
        mirrored = Counter((each.what, each.weight.mirrored, each.at_new, each.at_old) for each in there)
        assert mirrored == Counter((each.what, each.weight, each.at_old, each.at_new) for each in back), text
        if canonical(old.at.node) == canonical(new.at.node):
            seen["says the same"] += 1
            assert () == there
        elif told(there):
            seen["told"] += 1
        else:
            # A way that says what holds without it, an actor who is meant anyway.
            seen["means the same"] += 1
            assert meaning(Version(old, shelf)) == meaning(Version(new, shelf)), text
    print(dict(seen))
    assert seen["told"] > number / 3


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


def test_what_was_not_looked_at_is_told() -> None:
    """Where there are more steps than the limit, what can be reached is not told, and that is told."""
    files = [study("file.yaml", text) for text in (PROCEDURE, edited(PROCEDURE, "fails: no-right}", "fails: support}"))]
    found = compare_flows(Version(files[0], SHELF), Version(files[1], SHELF), Limits(nodes=3))
    assert [("OTHER", "way", "From 'papers', 'fails' leads to 'support', before to 'no-right'.")] == told(found.differences)
    assert found.not_compared == (
        "what can be reached in all: with its blocks laid out it has more than 3 steps, and the rest was not looked at"
    )


def test_vehicles_without_a_meaning() -> None:
    """Vehicles whose years no facts table knows are compared as they are written, and not passed over."""
    text = edited(PROCEDURE, "years: 2013-2015", "years: 2013-2055")
    assert [("OTHER", "vehicles", "Vehicles, years: '2013-2055', before '2013-2015'.")] == told(compared(PROCEDURE, text))


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
    raised, added = (each for each in compared(PROCEDURE, text) if each.what is What.CAP)
    assert raised.at_old is not None
    assert raised.at_new is not None
    assert added.at_new is not None
    assert ("4", "5") == (PROCEDURE[raised.at_old.start], text[raised.at_new.start])
    assert (("slots", "key"), ("slots", "key")) == (raised.at_old.path, raised.at_new.path)
    assert (None, ("slots", "remote"), "2") == (added.at_old, added.at_new.path, text[added.at_new.start])


def test_digest_is_made_as_its_page_says() -> None:
    """The digest is 16 digits of SHA-256 (FIPS 180-4) over the canonical form, here made of what PyYAML reads."""
    tree = yaml.load(PROCEDURE, yaml.BaseLoader)
    del tree["reviewed"]

    def form(value: object) -> object:
        if isinstance(value, list):
            return form(value[0]) if len(value) == 1 else [form(each) for each in value]
        return {key: form(each) for key, each in value.items()} if isinstance(value, dict) else value

    steps = [[name, form(step)] for name, step in tree["steps"].items()]
    said = json.dumps(
        {**{name: form(each) for name, each in tree.items()}, "steps": steps}, sort_keys=True, separators=(",", ":")
    )
    assert hashlib.sha256(said.encode()).hexdigest()[:16] == digest(study("file.yaml", PROCEDURE).at.node)


def test_digest_of_what_is_no_mapping() -> None:
    """An empty file, a text and a list of that text have a digest, and a list of one is that one."""
    roots = [study("file.yaml", text).at.node for text in ("", "a", "[a]", "[a, b]")]
    assert 3 == len({digest(root) for root in roots})
    assert digest(roots[1]) == digest(roots[2])


def test_digest_of_a_review() -> None:
    """A review that names the digest of what stands there saw it; after any change of content it saw another text."""
    name = digest(study("file.yaml", PROCEDURE).at.node)
    signed = edited(PROCEDURE, "date: 2026-03-11}", f"date: 2026-03-11, of: '{name}'}}")
    assert is_reviewed(study("file.yaml", PROCEDURE)) is None
    assert is_reviewed(study("file.yaml", BLOCK)) is None
    assert is_reviewed(study("file.yaml", signed)) is True
    assert is_reviewed(study("file.yaml", edited(signed, "title: Add a key", "title: 'Add a key' # as before"))) is True
    assert is_reviewed(study("file.yaml", edited(signed, "title: Add a key", "title: Add one key"))) is False
    flow = study("file.yaml", signed).flow
    assert isinstance(flow, Procedure)
    assert flow.reviewed is not None
    assert name == flow.reviewed.of


@pytest.mark.parametrize("written", ["0123456789abcde", "0123456789ABCDEF", "0123456789abcdef0", "none"])
def test_what_is_no_digest(written: str) -> None:
    """A digest that is not 16 hexadecimal digits in small letters is a fault of form."""
    found = study("file.yaml", edited(PROCEDURE, "date: 2026-03-11}", f"date: 2026-03-11, of: '{written}'}}"))
    assert [("wrong-shape", "of")] == [(each.kind, each.name) for each in found.faults]


def random_flow(rng: random.Random) -> str:
    """Write a block of a few steps that lead anywhere, some with tries."""
    count = rng.randint(2, 5)
    names = [f"s{at}" for at in range(count)]
    lines = ["block: walk", "version: 1", "title: Walk", "exits: [out]", "steps:"]
    for name in names:
        ways = {each: rng.choice([*names, "out"]) for each in ("yes", "no")}
        tries = f"tries: {rng.randint(1, 3)}, " if rng.random() < 0.6 else ""
        # Spent, it leaves: whoever is spent and goes on is no matter of counting.
        lines.append(f"  {name}: {{ask: Which?, {tries}ways: {{'yes': {ways['yes']}, 'no': {ways['no']}, spent: out}}}}")
    return "\n".join(lines) + "\n"


def most_visits(known: Study, name: str, *, most: int) -> int:
    """Count by trying all walks how often a step can be done; `most` stands for as often as one likes."""
    steps = known.written.steps
    best: dict[tuple[str, tuple[tuple[str, int], ...]], int] = {}
    waiting = [(known.flow.first.name, tuple((each, 0) for each in steps), 0)]
    for at, used, count in waiting:
        if at not in steps or best.get((at, used), -1) >= count or count > most:
            continue
        best[at, used] = count
        counts = dict(used)
        tries = steps[at].step.tries
        if tries is not None and counts[at] == tries:
            continue
        counts[at] += tries is not None
        done = count + (at == name)
        onward = {each.target for each in steps[at].exits if each.outcome != "spent"}
        waiting += [(target, tuple(counts.items()), done) for target in sorted(onward)]
        best[name, ()] = max(best.get((name, ()), 0), done)
    return min(best.get((name, ()), 0), most)


@pytest.mark.parametrize("number", [10, pytest.param(1000, marks=pytest.mark.long)])
def test_attempts_are_those_of_all_walks(number: int) -> None:
    """How often a step can be done is what trying all walks gives, over random steps with and without tries."""
    rng = random.Random(SEED)
    seen: Counter[str] = Counter()
    for _ in range(number):
        file = study("walk.yaml", random_flow(rng))
        assert file.flow is not None, file.faults
        known = Study(file.flow, SHELF, ON, Limits())
        for name in file.flow.steps:
            found = attempts(known.written, name)
            seen["without a bound" if found is None else "never" if found == 0 else "bounded"] += 1
            assert (found if found is not None else 16) == most_visits(known, name, most=16), (file.text.text, name)
    print(dict(seen))
    assert min(seen["without a bound"], seen["bounded"]) > number / 10


@pytest.mark.parametrize("number", [20, pytest.param(2000, marks=pytest.mark.long)])
def test_returns_are_the_greatest_flow(number: int) -> None:
    """From the first step, tries of a step and its ways back are networkx's maximum flow with tries as capacities."""
    rng = random.Random(SEED)
    bounded = 0
    for _ in range(number):
        file = study("walk.yaml", random_flow(rng))
        assert file.flow is not None
        steps = Study(file.flow, SHELF, ON, Limits()).written.steps
        first = file.flow.first
        drawn: networkx.DiGraph[str] = networkx.DiGraph()
        drawn.add_nodes_from(["s0 in", "s0 out"])
        for name, each in steps.items():
            if name != first.name:
                drawn.add_edge(f"{name} in", f"{name} out", **({"capacity": each.step.tries} if each.step.tries else {}))
            drawn.add_edges_from((f"{name} out", f"{leaving.target} in") for leaving in each.exits if leaving.outcome != "spent")
        try:
            flow = networkx.maximum_flow_value(drawn, "s0 out", "s0 in") + 1
        except networkx.NetworkXUnbounded:
            flow = None
        tries = first.tries
        expected = tries if flow is None else flow if tries is None else min(flow, tries)
        bounded += expected is not None
        assert expected == attempts(Study(file.flow, SHELF, ON, Limits()).written, first.name), file.text.text
    print(f"{number} flows, {bounded} bounded")
    assert 0 < bounded < number


@pytest.mark.parametrize("number", [5, pytest.param(7, marks=pytest.mark.long)])
def test_as_few_as_can_be_are_moved(number: int) -> None:
    """What is not moved keeps its order and is as long as can be, for every order of a few names; and so for the exchange."""
    names = "abcdefg"[:number]
    for order in permutations(names):
        gone = frozenset(moved(tuple(names), order))
        kept = [name for name in order if name not in gone]
        assert kept == sorted(kept)
        longest = next(size for size in range(number, 0, -1) for each in combinations(order, size) if list(each) == sorted(each))
        assert longest == len(kept)
        assert gone == frozenset(moved(order, tuple(names)))


SAID = st.dictionaries(st.sampled_from("abcdef"), st.text("xyz", max_size=4).map(Counter), max_size=4)


@given(SAID, SAID)
def test_matching_is_mirrored(old: dict[str, Counter[str]], new: dict[str, Counter[str]]) -> None:
    """Each part is matched once or left over, what bears one name is one, and the exchange gives the same pairs."""
    there, back = matched(old, new), matched(new, old)
    assert sorted(there.pairs) == sorted((one, other) for other, one in back.pairs)
    assert sorted(old) == sorted((*(one for one, _ in there.pairs), *there.removed))
    assert sorted(new) == sorted((*(other for _, other in there.pairs), *there.added))
    assert {(name, name) for name in old.keys() & new.keys()} <= set(there.pairs)
    assert all(likeness(old[one], new[other]) >= Fraction(1, 2) for one, other in there.renamed)


def test_very_many_parts_are_matched_where_they_are_equal() -> None:
    """With very many parts that are called otherwise, those that say the same are matched in order, and others are left over."""
    old = {f"a{at}": Counter([str(at // 2)]) for at in range(600)}
    new = {f"b{at}": Counter([str(at // 2 + 1)]) for at in range(600)}
    there, back = matched(old, new), matched(new, old)
    assert tuple((f"a{at + 2}", f"b{at}") for at in range(598)) == there.pairs
    assert (("a0", "a1"), ("b598", "b599")) == (there.removed, there.added)
    assert sorted(there.pairs) == sorted((one, other) for other, one in back.pairs)


def test_likeness() -> None:
    """Likeness is the share of what both say, once for each time that it is said."""
    assert Fraction(2, 3) == likeness(Counter("aab"), Counter("abb"))
    assert Fraction(0) == likeness(Counter(), Counter())
    assert Fraction(1) == likeness(Counter("ab"), Counter("ba"))


def test_guards_come_from_the_catalogue() -> None:
    """What proves the right, supports the battery or reads the count is a guard; what turns a key or waits is none."""
    verbs = guard_verbs(standard())
    assert {"check-authorisation", "connect-support", "get-consent", "read", "set-park-brake", "wait-rearm"} <= verbs
    assert verbs.isdisjoint({"turn", "insert", "remove", "wait", "plug", "act", "erase", "learn", "answer", "release-park-brake"})


def test_order_of_danger() -> None:
    """What guards no more comes first, of that the cautions; each weight but the neutral ones has its opposite."""
    given_any = [Difference(what, weight, None, None, "") for weight in reversed(Weight) for what in reversed(What)]
    found = in_order(given_any)
    assert (Weight.LOST, What.CAUTION) == (found[0].weight, found[0].what)
    assert list(Weight) == list(dict.fromkeys(each.weight for each in found))
    assert all(weight == weight.mirrored.mirrored for weight in Weight)
    assert {Weight.OTHER, Weight.UPKEEP, Weight.WORDS} == {weight for weight in Weight if weight == weight.mirrored}


FACTS = """\
make,model,years,markets,gearbox,note,key-cap,code,rearm
Corvane,Halyard,2013-2015,region-1|region-2,,seen twice,5,none,45
Corvane,Halyard,2016-2017,region-1,manual,,8,required,
"""


def changes(old: dict[str, str], new: dict[str, str]) -> Comparison:
    """Compare two libraries, each given by its files."""
    roles = {"library.yaml": "library", "sources.yaml": "sources", "accepted.yaml": "accepted"}
    sides = [
        [study(name, text, "facts" if name.endswith(".csv") else roles.get(name, "steps")) for name, text in files.items()]
        for files in (old, new)
    ]
    return compare_libraries(sides[0], sides[1], standard())


def told_of(old: dict[str, str], new: dict[str, str]) -> Said:
    """Compare two libraries and give what is told of the content."""
    return told(changes(old, new).differences)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            ",5,none,45",
            ",6,none,45",
            [("OTHER", "claim", "key-cap of Corvane Halyard 2013-2015 region-1|region-2: 6, before 5.")],
        ),
        (
            ",5,none,45",
            ",,none,45",
            [("LOST", "claim", "key-cap of Corvane Halyard 2013-2015 region-1|region-2 is no longer stated; before, it was 5.")],
        ),
        (
            "8,required,",
            "8,required,30",
            [("OTHER", "claim", "rearm of Corvane Halyard 2016-2017 region-1 manual is now stated: 30.")],
        ),
        (
            "2016-2017",
            "2016-2018",
            [
                (
                    "MORE",
                    "vehicles",
                    (
                        "The row for Corvane Halyard 2016-2017 region-1 manual: "
                        "now also for Corvane Halyard 2018: 1 application more."
                    ),
                )
            ],
        ),
        (
            "Corvane,Halyard,2016-2017,region-1,manual,,8,required,\n",
            "",
            [("LOST", "claim", "The row for Corvane Halyard 2016-2017 region-1 manual is gone: key-cap 8, code required.")],
        ),
        (
            "seen twice",
            "seen often",
            [("WORDS", "claim", "note of Corvane Halyard 2013-2015 region-1|region-2: seen often, before seen twice.")],
        ),
        ("region-1|region-2", "region-2|region-1", []),
        (",5,none,45", ",5-5,none,45.0", []),
        ("2013-2015,region-1|region-2,,", "2013-2015,region-1|region-2,automatic|manual,", []),
        (
            "2016-2017",
            "201x",
            [
                (
                    "OTHER",
                    "vehicles",
                    "The row for Corvane Halyard 2016-2017 region-1 manual now speaks of Corvane Halyard 201x region-1 manual.",
                )
            ],
        ),
    ],
)
def test_facts(old: str, new: str, expected: Said) -> None:
    """Cells and rows are told with the vehicles they speak of; what is no longer claimed of the first class is a guard gone."""
    assert expected == told_of({"facts/log.csv": FACTS}, {"facts/log.csv": edited(FACTS, old, new)})


def test_order_in_a_table_means_nothing() -> None:
    """Rows and columns in another order are no change in meaning, and a table that was moved is told as that."""
    header, *rows = (line.split(",") for line in FACTS.splitlines())
    turned = "".join(",".join(reversed(row)) + "\n" for row in (header, *reversed(rows)))
    assert () == changes({"facts/log.csv": FACTS}, {"facts/log.csv": turned}).changes
    (change,) = changes({"facts/log.csv": FACTS}, {"facts/bench.csv": FACTS}).changes
    assert [("UPKEEP", "renamed", "The file 'facts/log.csv' is now 'facts/bench.csv'.")] == told(change.differences)


def test_rows_of_the_same_vehicles() -> None:
    """Of rows that speak of the same vehicles each is compared with its own, in order."""
    row = "Corvane,Halyard,2016-2017,region-1,manual,,8,required,\n"
    more = FACTS + row.replace("8,required", ",none")
    assert [("LOST", "claim", "key-cap of Corvane Halyard 2016-2017 region-1 manual is no longer stated; before, it was 8.")] == (
        told_of({"facts/log.csv": more}, {"facts/log.csv": edited(more, ",8,required", ",,required")})
    )


def test_settings() -> None:
    """A level that is lowered, a rule that is turned off and a later failing are guards that are gone."""
    old = {"library.yaml": "name: Ours\nlevels: {lamp-not-named: error, double-negative: off}\n"}
    new = {"library.yaml": "name: Theirs\nlevels: {lamp-not-named: note, step-text-too-long: off}\nfailing-level: warning\n"}
    assert [
        ("LOST", "level", "The level of 'lamp-not-named' is note, before error."),
        ("LOST", "level", "The level of 'step-text-too-long' is off, before the rule's own."),
        ("OTHER", "setting", "Name: 'Theirs', before 'Ours'."),
        ("GAINED", "level", "The level of 'double-negative' is the rule's own, before off."),
        ("GAINED", "level", "A check fails from level warning on, before from error on."),
    ] == told_of(old, new)


ACCEPTED = "- {rule: review-expired, in: example, because: On the road., by: m-02, on: 2026-03-01, until: 2026-12-31}\n"


def test_acceptances() -> None:
    """What is newly accepted is told with who, until when and why; longer is more, no longer is a guard that is new."""
    other = ACCEPTED.replace("review-expired", "double-negative")
    assert [
        (
            "LOST",
            "accepted",
            "'double-negative' in 'example' is now accepted, by m-02, until 2026-12-31: On the road.",
        ),
    ] == told_of({"accepted.yaml": ACCEPTED}, {"accepted.yaml": ACCEPTED + other})
    longer = ACCEPTED.replace("2026-12-31", "2027-02-28").replace("m-02", "m-09")
    assert [
        ("MORE", "accepted", "'review-expired' in 'example' is accepted until 2027-02-28, before until 2026-12-31."),
        ("GAINED", "accepted", "'double-negative' in 'example' is no longer accepted."),
        ("UPKEEP", "accepted", "'review-expired' in 'example', by: 'm-09', before 'm-02'."),
    ] == told_of({"accepted.yaml": ACCEPTED + other}, {"accepted.yaml": longer})


def test_register() -> None:
    """A source that is gone from the register, one that is new and one that was changed are each told."""
    log = "  - {id: log-1, kind: bench-or-field-log, title: A log, date: 2024-02-01}\n"
    note = "  - {id: note-1, kind: supplier-note, title: A note, date: 2024-02-01}\n"
    old, new = f"sources:\n{log}{note}", f"sources:\n{log.replace('2024', '2025')}{note.replace('note-1', 'note-2')}"
    assert [
        ("LOST", "source", "The source 'note-1' is gone from the register."),
        ("OTHER", "source", "Source 'log-1', date: '2025-02-01', before '2024-02-01'."),
        ("GAINED", "source", "The source 'note-2' is new in the register."),
    ] == told_of({"sources.yaml": old}, {"sources.yaml": new})


OURS = {"corvane/halyard.yaml": PROCEDURE, "blocks/try-key.yaml": BLOCK}


def test_block_changed_under_a_procedure() -> None:
    """A block that says something else in the same version reaches who follows it, and their reviews saw another text."""
    text = edited(BLOCK, "  alone: {do: isolate K}\n", "")
    block, procedure = changes(OURS, OURS | {"blocks/try-key.yaml": text}).changes
    assert ("block", "try-key", ("corvane-halyard-add-key",)) == (block.kind, block.id, block.reaches)
    assert [("OTHER", "step", "The step 'alone' is gone: isolate K.")] == told(block.differences)
    assert ("procedure", "corvane/halyard.yaml") == (procedure.kind, procedure.new)
    sentence = "The review by m-02 of 2026-03-11 saw another text of the block 'try-key'."
    assert [("UPKEEP", "block-changed-since-review", sentence)] == told(procedure.differences)
    signed = edited(PROCEDURE, "m-02, date: 2026-03-11", "m-05, date: 2026-04-01")
    found = changes(OURS, {"corvane/halyard.yaml": signed, "blocks/try-key.yaml": text})
    assert [] == [each for each in found.differences if each.what is What.BLOCK_CHANGED_SINCE_REVIEW]


def test_files_that_came_went_or_moved() -> None:
    """A file is known by its id wherever it lies, and by what it says where its id was changed."""
    moved_there = {"corvane/keys.yaml": PROCEDURE, "blocks/try-key.yaml": BLOCK}
    assert [("UPKEEP", "renamed", "The file 'corvane/halyard.yaml' is now 'corvane/keys.yaml'.")] == told_of(OURS, moved_there)
    called = {"corvane/halyard.yaml": edited(PROCEDURE, "id: corvane-halyard-add-key", "id: corvane-halyard-key")}
    assert [("UPKEEP", "renamed", "'corvane-halyard-add-key' is now called 'corvane-halyard-key'.")] == told_of(
        OURS, OURS | called
    )
    only_block = {"blocks/try-key.yaml": BLOCK}
    job = "add-key for Corvane Halyard 2013-2015 (markets region-1|region-2, ignition-kind keyed, gearbox manual), 6 applications"
    assert [("LESS", "file", f"The procedure 'corvane-halyard-add-key' is gone: {job}.")] == told_of(OURS, only_block)
    assert [("MORE", "file", f"The procedure 'corvane-halyard-add-key' is new: {job}.")] == told_of(only_block, OURS)
    vague = {"corvane/halyard.yaml": edited(PROCEDURE, "years: 2013-2015", "years: 2013-2055")}
    assert [("MORE", "file", "The procedure 'corvane-halyard-add-key' is new: add-key.")] == told_of({}, vague)
    assert [("GAINED", "file", "The block 'try-key' is new.")] == [
        ("GAINED", what, said) for _, what, said in told_of({}, only_block)
    ]


def test_two_files_of_one_id() -> None:
    """A copy with the same id is new, wherever it lies: the file that had the id before keeps it."""
    for name in ("aaa.yaml", "zzz.yaml"):
        found = changes(OURS, {name: PROCEDURE, **OURS}).changes
        assert [(name, "")] == [(each.new, each.old) for each in found]
        assert [("", name)] == [(each.new, each.old) for each in changes({name: PROCEDURE, **OURS}, OURS).changes]


def test_registers_and_tables_that_came_or_went() -> None:
    """Of a register or table that is new or gone all that it says is told, who accepts what and until when above all."""
    assert [
        ("LOST", "accepted", "'review-expired' in 'example' is now accepted, by m-02, until 2026-12-31: On the road."),
        ("LOST", "file", "The list of accepted results 'accepted.yaml' is new."),
    ] == told_of({}, {"accepted.yaml": ACCEPTED})
    assert [
        ("GAINED", "accepted", "'review-expired' in 'example' is no longer accepted."),
        ("GAINED", "file", "The list of accepted results 'accepted.yaml' is gone."),
    ] == told_of({"accepted.yaml": ACCEPTED}, {})
    assert [
        ("LOST", "file", "The facts table 'log.csv' is gone."),
        (
            "LOST",
            "claim",
            "The row for Corvane Halyard 2013-2015 region-1|region-2 is gone: note seen twice, key-cap 5, code none, rearm 45.",
        ),
        ("LOST", "claim", "The row for Corvane Halyard 2016-2017 region-1 manual is gone: key-cap 8, code required."),
    ] == told_of({"facts/log.csv": FACTS}, {})
    settings = {"library.yaml": "name: Ours\nlevels: {lamp-not-named: off}\n"}
    found = changes({}, settings).differences
    assert {None} == {each.at_old for each in found}
    assert [
        ("LOST", "level", "The level of 'lamp-not-named' is off, before the rule's own."),
        ("OTHER", "file", "The settings file 'library.yaml' is new."),
        ("OTHER", "setting", "Name: 'Ours' is new."),
    ] == told(found)
    assert [("LOST", "file", "The list of accepted results 'accepted.yaml' is new.")] == told_of({}, {"accepted.yaml": "- {"})


def test_trust() -> None:
    """The order in which sources are trusted is told as one difference."""
    order = "supplier-note", "hearsay"
    old, new = ({"library.yaml": f"name: Ours\ntrust: [{', '.join(each)}]\n"} for each in (order, order[::-1]))
    said = "Sources are trusted in the order hearsay, supplier-note; before, supplier-note, hearsay."
    assert [("OTHER", "setting", said)] == told_of(old, new)
    said = "Sources are trusted in the order supplier-note, hearsay; before, as proclint has it."
    assert [("OTHER", "setting", said)] == told_of({"library.yaml": "name: Ours\n"}, old)


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("corvane/halyard.yaml", PROCEDURE + "<<<<<<< ours\n", "procedure"),
        ("corvane/halyard.yaml", PROCEDURE.replace("turn O1 on", "twist O1 on"), "procedure"),
        ("facts/log.csv", FACTS + "Corvane,Halyard\n", "facts"),
        ("library.yaml", "name: Ours\nlevels: {double-negative: never}\n", "library"),
    ],
)
def test_what_cannot_be_compared_is_told(name: str, text: str, kind: str) -> None:
    """A version that cannot be read is never taken for one without a difference: which one it is, is told."""
    whole = {**OURS, "facts/log.csv": FACTS, "library.yaml": "name: Ours\n"}
    for old, new, said in ((whole, whole | {name: text}, "new"), (whole | {name: text}, whole, "old")):
        (change,) = changes(old, new).changes
        assert (kind, f"the {said} version cannot be read", ()) == (change.kind, change.not_compared, change.differences)
    assert () == changes(whole | {name: text}, whole | {name: text}).changes


def test_library_against_itself() -> None:
    """The library as it is, against itself in any order of files, gives no change."""
    files = list(library().values())
    assert () == compare_libraries(files, reversed(files), standard()).changes
