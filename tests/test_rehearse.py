"""`proclint rehearse` as a person meets it: walked by hand, by a script, and all endings; and what is refused."""

import builtins
import re
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from click.testing import CliRunner, Result

from proclint.analysis.explorer import SearchLimits
from proclint.analysis.states.endings import endings
from proclint.analysis.states.known import Known
from proclint.analysis.states.rehearsal import Moment, Rehearsal
from proclint.apps.cli import group
from proclint.apps.files import gather_for
from proclint.catalogue import standard
from proclint.engine.rehearse import rehearse
from proclint.render.endings import all_endings, ending
from proclint.render.rehearsal import page
from proclint.testing import ON, completed

LIBRARY = Path(__file__).parents[1] / "procedures"
PROCEDURES = sorted(path for path in LIBRARY.glob("*/*.yaml") if path.parent.name not in {"blocks", "facts"})
SKERRY = LIBRARY / "ostrel" / "skerry-add-key-on-board.yaml"


def called(*arguments: str | Path, answers: str | bytes = "") -> Result:
    """Call the command, with what a person types."""
    return CliRunner().invoke(group, ["rehearse", *map(str, arguments)], prog_name="proclint", input=answers)


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str], Path]:
    """Give a function that writes a procedure into a folder of its own."""

    def write(text: str) -> Path:
        path = tmp_path / "example.yaml"
        path.write_text(completed("example.yaml", text), encoding="utf-8")
        return path

    return write


SMALL = """\
title: Look and wait
start: {ignition: off, cylinder: O1, hood: closed}
windows: {look: {at-most: 10 s, late: give-up}}
steps:
  first:
    caution: [pinch]
    instruction: Lower the hood, then look at the chime.
    do:
      - {do: "act press \\x1b[2J the hood down", by: technician, takes: 2-3 s, opens: look at start}
      - {do: look chime, closes: look}
    ways: {sounding: second, silent: retry, fails: give-up}
  second:
    prompt: {says: "NEW LIST? Y/N", choices: {"Y": replace-all, "N": nothing}, answer: "Y", means: All others are dropped.}
    expect: the screen shows READY
    within: 10 s
    meanwhile: {do: wait 1 s, every: 4 min}
    fails: give-up
  pause: {do: wait 1 s}
  third: {ask: "Is O1, the first, in the cylinder?", ways: {"yes, it is": it-works, "no": retry}}
fallbacks:
  retry:
    tries: 1
    do: [{do: [turn O1 on, turn O1 off], repeat: 2}, {do: wait 1 s, only-if: O.here >= 1, repeat: 2}]
    ways: {done: first, spent: give-up, fails: give-up}
endings:
  it-works: {kind: success, tell: It works.}
  give-up: {kind: not-as-found, tell: It does not.}
"""

FIRST_PAGE = """\
1  first ----------------------------------------------------------------- 0 s
CAUTION    Power windows, doors and the hood close with force. They can crush
           fingers. Keep hands and heads clear before you press a button or
           let the hood down on the leads.
do         Lower the hood, then look at the chime.
           - act press ?[2J the hood down; takes 2 s to 3 s; window 'look'
             begins as this begins
           - look chime; window 'look' ends

keys       O1 in the cylinder
now        ignition off

look: at most 10 s; the typical hand needs 7 s
  [aaaaaaaaaaaaaaaaaaaaaabbbbbbbbbbbbbbbbbbbbbbbbbbbbbb......................]
  a act press ?[2J the hood down: 3 s; b look chime: 4 s
  slack: quickest 6 s, typical 3 s, slowest -3 s

outcomes   1  silent     to retry
           2  sounding   to second
           3  fails      to the ending 'give-up'
           4  late look  to the ending 'give-up', as window 'look' has run out
"""


def test_page_tells_all_that_is_needed(written: Callable[[str], Path]) -> None:
    """A page holds caution, instruction, lines, keys, state, windows and outcomes, and nothing that moves a cursor."""
    result = called(written(SMALL), answers="2\n")
    assert FIRST_PAGE in result.output
    assert "\x1b" not in result.output


def test_walk_by_hand(written: Callable[[str], Path]) -> None:
    """A person chooses by number or name, is told where there is no such outcome, and comes to an ending."""
    result = called(written(SMALL), answers="9\nsilnt\nsilent\n1\n2\ndone\n\n1\n")
    assert 0 == result.exit_code, result.output
    assert "There is no outcome '9' here. There are: 1 'silent', 2 'sounding', 3 'fails', 4 'late look'.\n" in result.output
    assert "There is no outcome 'silnt' here." in result.output
    assert "== ending 'it-works': success ===" in result.output
    assert "again      --outcomes silent,done,sounding,done,1\n" in result.output


def test_what_a_step_says_is_shown(written: Callable[[str], Path]) -> None:
    """Prompts, choices, questions, lines that are left out or repeated, signs and meanwhile: all come in the author's words."""
    result = called(written(SMALL), "--outcomes", "silent,done,2", "--outcomes", "done, 1")
    assert 0 == result.exit_code, result.output
    for line in (
        'screen     "NEW LIST? Y/N"',
        "           All others are dropped.",
        "           Y = replace-all; N = nothing",
        "answer     Y",
        "ask        Is O1, the first, in the cylinder?",
        "           - turn O1 off; the last 2 lines 2 times in all",
        "           - if O.here >= 1: wait 1 s (2 times)",
        "meanwhile  - wait 1 s, every 4 min",
    ):
        assert line in result.output.splitlines()
    assert re.search(r"sign: the\s+screen shows READY, within 10 s", result.output)


def test_spent_tries_are_told(written: Callable[[str], Path]) -> None:
    """Where a step has been tried as often as it may be, that is said on the way on."""
    text = SMALL.replace("spent: give-up, fails: give-up}", "spent: last, fails: give-up}\n  last: {do: wait 1 s, then: give-up}")
    result = called(written(text), "--outcomes", "silent,done,silent,done")
    assert "passed     'retry' has been tried as often as it may be (1)\n" in result.output


@pytest.mark.parametrize(
    ("outcomes", "said", "there"),
    [
        (["sounding,perhaps"], "number 2: 'second' has no outcome 'perhaps' on this way", "1 'done', 2 'fails'"),
        (["sounding,3"], "number 2: 'second' has no outcome '3' on this way", "1 'done', 2 'fails'"),
        (["sounding", "1"], "number 3: none is named for 'third'", "1 'yes, it is', 2 'no'"),
    ],
)
def test_script_that_does_not_fit(written: Callable[[str], Path], outcomes: list[str], said: str, there: str) -> None:
    """A wrong or missing outcome is a wrong call that names those there are."""
    result = called(written(SMALL), *(part for each in outcomes for part in ("--outcomes", each)))
    assert 2 == result.exit_code
    assert f"proclint: --outcomes: {said}.\nThere are: {there}.\n" in result.output


def test_script_that_goes_on_behind_the_ending(written: Callable[[str], Path]) -> None:
    """Outcomes that are left over at the ending are a wrong call: the script meant another way."""
    result = called(written(SMALL), "--outcomes", "fails,done,done")
    assert 2 == result.exit_code
    assert "proclint: --outcomes: 'done,done' is left over at the ending 'give-up'.\n" in result.output


def test_end_of_input(written: Callable[[str], Path]) -> None:
    """Where nobody answers any more, the way so far is given, and the exit status says that there was no ending."""
    result = called(written(SMALL), answers="sounding\n")
    assert 2 == result.exit_code
    said = "proclint: The rehearsal was broken off before an ending.\nTo come here again: --outcomes sounding\n"
    assert result.output.endswith(said)
    assert called(written(SMALL)).output.endswith("Nothing was chosen yet.\n")


def test_interrupt(written: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """A person who presses Ctrl-C is told as much, and sees no traceback."""

    def interrupted(_question: str) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr(builtins, "input", interrupted)
    result = called(written(SMALL))
    assert 2 == result.exit_code
    assert "proclint: The rehearsal was broken off before an ending.\n" in result.output


def test_answer_that_is_no_text(written: Callable[[str], Path]) -> None:
    """Bytes that are no text are no outcome."""
    result = called(written(SMALL), answers=b"\xff\xfe\n3\n")
    assert "There is no outcome '?' here." in result.output
    assert 2 == result.exit_code
    assert "Traceback" not in result.output


def test_what_does_not_hold_is_told(written: Callable[[str], Path]) -> None:
    """What a line needs and has not, a caution that is missing, and what nobody has said: all is told where it is met."""
    text = """\
start: {ignition: off, cylinder: empty, hood: closed, battery: rested}
steps:
  only: {do: [turn O1 on, close-hood], then: fork}
  fork: {do: look selector, ways: {P: next, otherwise: next, fails: next}}
  next: {do: start O1, ways: {runs: all-right, stalls: all-right, does not start: all-right, fails: all-right}}
"""
    result = called(written(text), "--outcomes", "R,runs")
    assert 0 == result.exit_code, result.output
    shown = " ".join(result.output.split())
    assert "not so 'turn O1 on' needs 'cylinder' to be O1; it is empty." in shown
    assert "not so Nobody has said what 'park-brake' is; it is taken to be set." in shown
    assert "not so 'start O1' needs 'selector' to be P, N or neutral; it is R." in shown
    assert "not so No caution 'engine-run-enclosed' stands before 'start O1' on this way." in shown
    assert "left open 'ignition' is on" in shown


def shown_of(path: Path, outcomes: str) -> str:
    """Give what a script shows, line ends and all other gaps made one space."""
    result = called(path, "--outcomes", outcomes)
    assert 0 == result.exit_code, result.output
    return " ".join(result.output.split())


def test_window_that_has_to_last(written: Callable[[str], Path]) -> None:
    """A window with a least time says how long it has run, and how long it did."""
    text = """\
windows: {rest: {at-least: 5 s}}
steps:
  first: {do: {do: wait 2 s, opens: rest at start}}
  second: {do: {do: wait 4 s, closes: rest}}
  third: {do: look hood, ways: {open: all-right, closed: all-right, fails: all-right}}
"""
    shown = shown_of(written(text), "open")
    assert "window 'rest' has run for 2 s; it lasts at least 5 s" in shown
    assert "window 'rest' ended after 6 s; it lasts at least 5 s" in shown


def test_window_that_is_over(written: Callable[[str], Path]) -> None:
    """A window whose time has passed at a slow hand says by how much."""
    text = """\
windows: {rest: {at-most: 3 s, late: all-right}}
steps:
  first: {do: {do: wait 2-5 s, opens: rest at start}}
  second: {do: {do: wait 4 s, closes: rest}, then: all-right}
"""
    assert "window 'rest', 3 s: over by 0.5 s (quickest 1 s left, slowest over by 2 s)" in shown_of(written(text), "done")


def test_key_of_which_it_is_not_known(written: Callable[[str], Path]) -> None:
    """Where one of two keys failed and nobody knows which, that is told of both."""
    text = """\
start: {ignition: off, cylinder: empty}
keys: {O: {kind: key, registered: true, here: 2}}
steps:
  first: {do: [put O1 hand, put O2 hand, test-functions O], then: all-right, fails: second}
  second: {do: look hood, ways: {open: all-right, closed: all-right, fails: all-right}}
"""
    assert "O1, O2 in hand: not known whether buttons work" in shown_of(written(text), "fails,open")
    starts = text.replace("test-functions O", "start O")
    assert "not known whether it starts" in shown_of(written(starts), "fails,open")


def test_ending_that_does_not_fit(written: Callable[[str], Path]) -> None:
    """An ending that says that nothing was changed after a learn is told; so is a need that several things could meet."""
    text = """\
start: {ignition: on, cylinder: N1, tool: plugged, session: open}
steps:
  first: {do: press START}
  second: {do: learn N1, then: as-it-was, fails: as-it-was}
endings: {as-it-was: {kind: as-found, tell: Nothing was changed.}}
"""
    shown = shown_of(written(text), "done")
    assert "not so This ending needs 'changed' to be no; it is yes." in shown
    assert "list the vehicle's list of keys was changed" in shown
    off = text.replace("ignition: on, cylinder: N1, tool: plugged, session: open", "ignition: off")
    vehicles = (
        "vehicles:\n  - {make: Ostrel, model: Tarn, years: 2016, markets: [region-1], ignition-kind: push-start,\n"
        "     gearbox: [automatic], high-voltage: [none]}\n"
    )
    far = vehicles + off.replace("first: {do: press START}", "first: {do: [put O1 far, put N1 far, press START]}")
    assert "'press START' needs what does not hold here." in shown_of(written(far), "done")


def test_exit_of_a_block_that_leads_nowhere(tmp_path: Path) -> None:
    """Where a block is left by an exit of which the file says nothing, that is said at the exit."""
    block = "block: inner\nversion: 1\ntitle: Look\nexits: [well, badly]\nsteps:\n"
    block += "  look: {do: look hood, ways: {open: well, closed: badly, fails: badly}}\n"
    (tmp_path / "library.yaml").write_text("name: Ours\n", encoding="utf-8")
    (tmp_path / "blocks").mkdir()
    (tmp_path / "blocks" / "inner.yaml").write_text(block, encoding="utf-8")
    path = tmp_path / "example.yaml"
    path.write_text(completed("example.yaml", "steps:\n  outer: {follow: inner 1, ways: {well: all-right}}\n"), encoding="utf-8")
    result = called(path, "--outcomes", "closed")
    assert 2 == result.exit_code
    assert "proclint: No way leads on from 'badly'.\n" in result.output


def test_way_that_leads_nowhere(written: Callable[[str], Path]) -> None:
    """Where nothing follows, that is said, with where to look."""
    result = called(
        written("steps:\n  first: {do: look hood, ways: {open: last, closed: last, fails: last}}\n  last: {do: wait 1 s}\n"),
        "--outcomes",
        "1",
    )
    assert 2 == result.exit_code
    assert "stuck      The file does not say what follows here.\n" in result.output
    assert result.output.endswith("proclint: No way leads on from 'last'.\nRun `proclint examine` on this file.\n")


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("nowhere.yaml", "nowhere.yaml: no such file or directory."),
        ("", "is a folder."),
        ("blocks/verify.yaml", "is a block."),
        ("library.yaml", "There is no procedure in"),
        ("facts/tarn-bulletin.csv", "There is no procedure in"),
    ],
)
def test_what_is_no_procedure(path: str, said: str) -> None:
    """Whatever is no procedure that can be read is a wrong call."""
    result = called(LIBRARY / path)
    assert 2 == result.exit_code
    assert said in result.output
    assert "Traceback" not in result.output


def test_broken_file(written: Callable[[str], Path]) -> None:
    """A file that cannot be walked sends to what a check says of it first."""
    path = written("steps: [")
    result = called(path)
    assert 2 == result.exit_code
    assert f"cannot be walked: something is wrong with its form.\nRun `proclint examine {path.as_posix()}`" in result.output


def test_all_endings(written: Callable[[str], Path]) -> None:
    """Each ending comes with what is told, its time, how things stand, the way and what to type to take it again."""
    text = SMALL.replace(
        "endings:\n", "  lost: {ways: {O.here = 2: never, otherwise: it-works}}\nendings:\n  never: {kind: referred, tell: No.}\n"
    )
    result = called(written(text.replace('"no": retry', '"no": lost')), "--all-endings")
    assert 0 == result.exit_code, result.output
    assert ["never", "it-works", "give-up"] == re.findall(r"== ending '(.*)':", result.output)
    assert "way None: what the file says of vehicle and keys rules out every way here." in " ".join(result.output.split())
    assert "again      --outcomes sounding,done,1\n" in result.output
    assert "list       the vehicle's list of keys was not changed\n" in result.output


def test_key_that_was_dropped(written: Callable[[str], Path]) -> None:
    """Of a key that the job took from the list, or may have, that is told wherever keys are."""
    text = """\
start: {ignition: on, cylinder: O1, tool: plugged, session: open}
steps:
  first: {do: erase keys, then: second, fails: second}
  second: {do: look hood, ways: {open: all-right, closed: all-right, fails: all-right}}
"""
    assert "O1 in the cylinder: dropped from the list" in shown_of(written(text), "done,open")
    assert "O1 in the cylinder: may be dropped from the list" in shown_of(written(text), "fails,open")


def test_what_is_no_longer_known_is_told(written: Callable[[str], Path]) -> None:
    """Where there were too many cases to keep apart, every page and the ending say so."""
    path = written(SMALL)
    moment = rehearse(gather_for(path), path.as_posix(), standard(), on=ON).begin()
    rough = Moment(moment.rehearsal, moment.spot, moment.stand._replace(is_rough=True), moment.watch)
    said = "There were more than 64 cases: what hangs together is no longer known."
    assert said in " ".join(page(rough, 1).split())
    assert said in " ".join(ending(rough.take("fails")).split())
    assert said not in " ".join(page(moment, 1).split())


def test_endings_that_are_not_decided_say_so() -> None:
    """Where a limit was met it is named, with the way that was found, or that none was."""
    walked = rehearse(gather_for(SKERRY), SKERRY.as_posix(), standard(), on=ON)
    cut = SearchLimits(states=1, rounds=1, total=1)
    found = list(all_endings(endings(walked, cut)))
    assert "The search for the shortest way met its limit of" in " ".join(found[0].split())
    assert "there may be a shorter one than this." in " ".join(found[0].split())
    none = next(iter(all_endings(endings(walked, cut, most=1))))
    assert "undecided" in none
    assert "no way was found among" in " ".join(none.split())


def test_all_endings_takes_no_script() -> None:
    """A script together with all endings is a wrong call."""
    result = called(SKERRY, "--all-endings", "--outcomes", "done")
    assert 2 == result.exit_code
    assert "proclint: --all-endings takes no --outcomes.\n" in result.output


def test_job_of_the_library_by_hand() -> None:
    """The on-board job is walked by the first outcome each time: windows, counts, and both keys proved at the end."""
    result = called(SKERRY, answers="1\n" * 200)
    assert 0 == result.exit_code, result.output
    assert "window     'swap' ended after 4 s (2.5 s to 8 s); it lasts at most 12 s\n" in result.output
    assert "'whole', 110 s: 102.5 s left (quickest 105 s left, slowest 98 s left)" in " ".join(result.output.split())
    assert "places     key: 2 to 4 of 5 used\n" in result.output
    assert "\n30  prove > each O1 > run > brake ---" in result.output
    assert "== ending 'all-work': success ===" in result.output
    last = result.output[result.output.index("== ending") :]
    assert "N1 in hand: learned, starts, buttons work, blade turns" in " ".join(last.split())
    assert "left open  nothing that has to be put back\n" in last


def replayed(output: str) -> list[str]:
    """Give what an ending says to type to come there again."""
    found = re.search(r"^again +--outcomes (?:'(.*)'|(.*))$", output, re.MULTILINE)
    assert found is not None
    return ["--outcomes", found[1] or found[2]]


def test_ending_is_come_to_again() -> None:
    """What an ending says to type leads to the same ending, word for word."""
    result = called(SKERRY, answers="1\n" * 17 + "2\n2\n" + "1\n" * 200)
    assert 0 == result.exit_code, result.output
    last = result.output[result.output.index("== ending") :]
    again = called(SKERRY, *replayed(last))
    assert 0 == again.exit_code, again.output
    assert last == again.output[again.output.index("== ending") :]


@pytest.mark.parametrize("path", PROCEDURES, ids=lambda path: path.stem)
def test_every_procedure_is_walked(path: Path) -> None:
    """Each procedure of the library is walked to an ending by chance, page after page, and to all its endings; nothing lacks."""
    walked = rehearse(gather_for(path), path.as_posix(), standard(), on=ON)
    drawn = Random(path.stem)
    moment = walked.begin()
    while not moment.spot.is_last:
        assert moment.options, moment.spot.name
        assert [] == [lack for lack in moment.lacks if lack.grade != "unstated"]
        assert page(moment, 1)
        wished = drawn.random() < 0.8
        moment = moment.take((moment.options[0] if wished else drawn.choice(moment.options)).name)
    assert f"== ending '{moment.spot.name}'" in ending(moment)
    assert () == Known.at(moment).left_open
    _all_endings(walked, SearchLimits(states=500, rounds=3, total=2000), most=120)


def _all_endings(walked: Rehearsal, limits: SearchLimits, *, most: int) -> None:
    """Go to all endings: each way arrives where it should, with nothing left open, and its script leads there again."""
    found = list(endings(walked, limits, most=most))
    assert list(walked.procedure.ends) == [each.ending.name for each in found]
    for each in found:
        if each.arrived is None:
            continue
        assert each.arrived.spot is each.ending
        assert () == Known.at(each.arrived).left_open
        moment, script = walked.begin(), iter([leg.script for leg in each.arrived.way if leg.script])
        while not moment.spot.is_last:
            names = [option.name for option in moment.options]
            said = next(script) if len(names) > 1 else names[0]
            moment = moment.take(said if said in names else names[int(said) - 1])
        assert (each.ending, each.arrived.watch) == (moment.spot, moment.watch)


@pytest.mark.long
@pytest.mark.parametrize("path", PROCEDURES, ids=lambda path: path.stem)
def test_every_ending_at_full_size(path: Path) -> None:
    """The same for all endings, searched as far as the command does."""
    walked = rehearse(gather_for(path), path.as_posix(), standard(), on=ON)
    _all_endings(walked, SearchLimits(), most=3000)
