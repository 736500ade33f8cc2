"""A procedure walked: what is open as things stand, what a watch shows, what is known, and a way to each ending.

Small procedures are walked against what can be said of them by hand. What is joined of states is held against all their points,
tried one by one; a walk with sets of states against walks in which every variable has one value. Times are those that the lines
say, added by hand; the rest is common practice, no source.
"""

from collections.abc import Iterator
from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proclint.analysis.explorer import SearchLimits
from proclint.analysis.machine import Layout, State
from proclint.analysis.states.endings import endings
from proclint.analysis.states.known import Fact, Known
from proclint.analysis.states.rehearsal import Moment, Rehearsal
from proclint.analysis.states.spots import Kind
from proclint.analysis.states.stand import MOST_STATES, Stand, gather
from proclint.catalogue import standard
from proclint.engine import Input
from proclint.engine.rehearse import rehearse
from proclint.settings import UsageProblem
from proclint.testing import ON, completed


def rehearsal(text: str, **blocks: str) -> Rehearsal:
    """Lay out a procedure, completed where it says too little, beside the blocks that it follows."""
    files = {"example.yaml": text, **{f"blocks/{name}.yaml": block for name, block in blocks.items()}}
    inputs = [Input(name, "steps", completed(name, each).encode()) for name, each in files.items()]
    return rehearse(inputs, "example.yaml", standard(), on=ON)


def walk(text: str, *outcomes: str, **blocks: str) -> Moment:
    """Walk a procedure by its outcomes, all of them named."""
    moment = rehearsal(text, **blocks).begin()
    for outcome in outcomes:
        moment = moment.take(outcome)
    return moment


def open_at(moment: Moment) -> list[str]:
    """Name the outcomes that are open."""
    return [option.name for option in moment.options]


ENDS = """\
endings:
  good: {kind: success, tell: It works.}
  bad: {kind: as-found, tell: Nothing was changed.}
"""

# What is open.

COUNTED = f"""\
keys: {{O: {{kind: key, registered: true, here: 1-4}}}}
steps:
  count: {{do: count O, ways: {{O.here >= 3: again, otherwise: few}}}}
  again: {{do: count O, ways: {{O.here >= 2: each, otherwise: bad}}}}
  each: {{for-each: {{X: O}}, do: put X aside, then: good}}
  few: {{do: count O, ways: {{O.here >= 3: bad, O.here = 2: each, otherwise: bad}}}}
{ENDS}"""


def test_outcome_that_the_state_rules_out_is_not_offered() -> None:
    """Who has counted three keys or more is not asked again whether there are fewer than two."""
    assert ["O.here >= 3", "otherwise"] == open_at(walk(COUNTED))
    assert ["O.here >= 2"] == open_at(walk(COUNTED, "O.here >= 3"))
    assert ["O.here = 2", "otherwise"] == open_at(walk(COUNTED, "otherwise"))


def test_keys_that_are_known_to_be_there_are_not_asked_for() -> None:
    """Each key that is there has its round; where nobody knows whether there is one more, that is asked."""
    moment = walk(COUNTED, "otherwise", "O.here = 2")
    assert (Kind.BODY, {"X": "O1"}) == (moment.spot.kind, moment.spot.letters)
    assert {"X": "O2"} == moment.take("done").spot.letters
    assert moment.take("done").take("done").spot.is_last
    unknown = walk(COUNTED.replace("again, otherwise", "each, otherwise").replace("O.here >= 3: each", "O.here >= 1: each"))
    asked = unknown.take("O.here >= 1").take("done")
    assert (Kind.GATE, "O2", ["yes", "no"]) == (asked.spot.kind, asked.spot.key, open_at(asked))
    assert asked.take("no").spot.is_last
    assert "O3" == asked.take("yes").take("done").spot.key


HANGS_TOGETHER = f"""\
vehicles:
  - {{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed,
     gearbox: [automatic, manual], high-voltage: [none]}}
steps:
  fork: {{ways: {{gearbox = automatic: auto, otherwise: stick}}}}
  auto: {{do: move-selector P, then: same}}
  stick: {{do: move-selector neutral, then: same}}
  same: {{do: look selector, ways: {{P: bad, neutral: last, otherwise: bad, fails: bad}}}}
  last: {{ways: {{gearbox = automatic: bad, otherwise: good}}}}
{ENDS}"""


def test_what_was_told_once_is_not_asked_again() -> None:
    """A fork on the gearbox is a question where nobody knows it, and passed where it is known."""
    moment = walk(HANGS_TOGETHER)
    assert ("fork", ["gearbox = automatic", "otherwise"]) == (moment.spot.name, open_at(moment))
    assert "good" == moment.take("otherwise").take("done").take("neutral").spot.name


TRIED = f"""\
steps:
  first: {{do: check-id, fails: again}}
  second: {{do: wait 3 s, then: good}}
fallbacks:
  again: {{tries: 2, do: wait 10-20-40 s, ways: {{done: first, spent: bad}}}}
{ENDS}"""


def test_tries_are_used_up() -> None:
    """A step is entered as often as its tries allow, and then passed by without a question."""
    moment = walk(TRIED, "fails", "done", "fails", "done")
    assert ("first", ["done", "fails"]) == (moment.spot.name, open_at(moment))
    assert "bad" == moment.take("fails").spot.name


BLOCK = """\
block: inner
version: 1
title: Wait twice
given: {K: key}
exits: [well, badly]
steps:
  hold: {caution: [pinch], do: put K aside, ways: {done: look, fails: badly}}
  look: {do: look hood, ways: {open: well, closed: badly, fails: badly}}
"""
FOLLOWS = f"""\
steps:
  outer: {{caution: [low-battery-write], follow: inner 1, given: {{K: O1}}, ways: {{well: good, badly: bad}}}}
{ENDS}"""


def test_blocks_are_walked_as_part_of_it() -> None:
    """Inside a block each step is come to, with the keys that it was given; its exit is where the step that follows it leads."""
    moment = walk(FOLLOWS, inner=BLOCK)
    assert ["outer"] == [caller.name for caller in moment.spot.frame.callers]
    assert ("hold", {"K": "O1"}) == (moment.spot.name, moment.spot.letters)
    assert "good" == moment.take("done").take("open").spot.name
    assert "bad" == moment.take("done").take("closed").spot.name


def test_way_that_nobody_wrote_ends() -> None:
    """Where the file says nothing of what follows, nothing is open, and it is no ending."""
    text = f"steps:\n  only: {{do: look hood, ways: {{open: good, closed: nowhere, fails: bad}}}}\n{ENDS}"
    assert ["open", "fails"] == open_at(walk(text))
    stuck = walk(f"steps:\n  only: {{do: wait 3 s}}\n{ENDS}")
    assert (False, []) == (stuck.spot.is_last, open_at(stuck))


def test_what_a_line_needs_and_has_not_is_told() -> None:
    """A need that does not hold is told where it is, and the way goes on as if it did."""
    text = f"start: {{ignition: off, cylinder: empty}}\nsteps:\n  only: {{do: [turn O1 on, turn O1 off], then: good}}\n{ENDS}"
    lacks = {(lack.demand.variable, lack.grade, lack.found) for lack in walk(text).lacks}
    assert ("cylinder", "must", ("empty",)) in lacks
    unsaid = walk(f"steps:\n  only: {{do: close-hood, then: good}}\n{ENDS}")
    assert [("hood", "unstated")] == [
        (lack.demand.variable, lack.grade) for lack in unsaid.lacks if lack.demand.text == "close-hood"
    ]


def test_gravest_of_several_is_told() -> None:
    """Where a need fails in some states only, and surely in others, the graver is told."""
    text = f"""\
start: {{ignition: off, cylinder: empty, hood: closed}}
steps:
  look: {{do: look chime, ways: {{silent: opens, sounding: shut, fails: bad}}}}
  opens: {{do: open-hood, then: shut}}
  shut: {{do: close-hood, then: good}}
{ENDS}"""
    assert ["must"] == [lack.grade for lack in walk(text, "sounding").lacks if lack.demand.variable == "hood"]
    opened = walk(text, "silent", "done")
    assert [] == [lack.grade for lack in opened.lacks if lack.demand.variable == "hood"]
    either = Stand((*opened.stand.states, *walk(text, "sounding").stand.states))
    together = Moment(opened.rehearsal, opened.spot, either, opened.watch)
    found = [(lack.grade, lack.found) for lack in together.lacks if lack.demand.variable == "hood"]
    assert [("may", ("open", "closed"))] == found


# What is joined.

SIZES = (2, 3, 2)
LAYOUT = Layout(SIZES)


def points(states: tuple[State, ...]) -> set[tuple[int, tuple[int, ...]]]:
    """Give all single values that states cover, with the count above the variables."""
    found = set()
    for state in states:
        masks = LAYOUT.masks(state)
        values = [[value for value in range(size) if mask >> value & 1] for mask, size in zip(masks, SIZES, strict=True)]
        found |= {(state >> LAYOUT.width, point) for point in product(*values)}
    return found


@given(st.lists(st.tuples(st.integers(1, 3), st.integers(1, 7), st.integers(1, 3), st.integers(0, 2)), min_size=1, max_size=30))
def test_joining_keeps_every_point_and_adds_none(drawn: list[tuple[int, int, int, int]]) -> None:
    """States that are put together cover the same points as before: tried one by one."""
    states = tuple(LAYOUT.state(masks) | count << LAYOUT.width for *masks, count in drawn)
    stand = gather(states, LAYOUT)
    assert points(states) == points(stand.states)
    assert len(stand.states) <= len(set(states))
    assert not stand.is_rough


def test_too_many_are_taken_together_and_that_is_told() -> None:
    """More states than are told apart become one for each count, and it says so; on the way it stays so."""
    layout = Layout((2,) * 16)
    drawn = Random(3)
    # Two of them differ in several variables, as a rule, so that few can be joined.
    states = [layout.state([1 << drawn.randrange(2) for _ in range(16)]) for _ in range(3 * MOST_STATES)]
    stand = gather((*states, states[0] | 1 << layout.width), layout)
    assert (2, True) == (len(stand.states), stand.is_rough)
    assert [(3,) * 16, layout.masks(states[0])] == [layout.masks(state) for state in stand.states]
    moment = walk(TRIED)
    rough = Moment(moment.rehearsal, moment.spot, Stand(moment.stand.states, is_rough=True), moment.watch)
    assert rough.take("done").stand.is_rough


# What a watch shows.

TIMED = f"""\
start: {{ignition: off, cylinder: O1}}
windows:
  swap: {{at-most: 10 s, at-least: 1 s, late: bad}}
  long: {{at-least: 5 s}}
steps:
  first:
    do:
      - {{do: turn O1 on, takes: 1-2-3 s, opens: swap at start}}
      - {{do: wait 2-3 s, opens: long}}
  second:
    do:
      - {{do: wait 1 s, closes: swap}}
      - {{do: wait 4 s, expect: the lamp goes dark, within: 6 s, closes: long}}
    fails: bad
  third: {{ask: Is it well?, ways: {{"yes": good, "no": bad}}}}
{ENDS}"""


def test_times_add_up() -> None:
    """The lines of a step take their times, and a window runs from its mark; added by hand."""
    assert (0, 0, 0) == walk(TIMED).watch.elapsed
    moment = walk(TIMED, "done")
    assert (3000, 4500, 6000) == moment.watch.elapsed
    running = {each.window.name: tuple(each.elapsed) for each in moment.watch.running}
    assert {"swap": (3000, 4500, 6000), "long": (0, 0, 0)} == running
    after = moment.take("done")
    assert {"swap": (4000, 5500, 7000), "long": (5000, 5000, 11_000)} == {
        each.window.name: tuple(each.elapsed) for each in after.watch.closed
    }
    assert () == after.watch.running
    assert after.take("yes").watch.elapsed > after.watch.elapsed


def test_failing_gives_windows_up() -> None:
    """A step that fails takes at least what comes before its first sign, and no window runs on."""
    watch = walk(TIMED, "done", "fails").watch
    assert ((), ()) == (watch.running, watch.closed)
    assert 3000 + 1000 + 4000 == watch.elapsed.quickest


def test_late_waits_until_the_window_is_over() -> None:
    """Who is too late has let all of the window's time pass, from where it began."""
    late = walk(TIMED, "done", "late swap").watch
    assert (10_000, 10_000, 6000 + 11_000) == late.elapsed
    assert () == late.running
    # It begins in the step itself: nothing of it has passed before.
    assert 10_000 == walk(TIMED, "late swap").watch.elapsed.quickest


ROUNDS = f"""\
keys: {{O: {{kind: key, registered: true, here: 2}}}}
windows: {{all: 60 s, one: 20 s}}
steps:
  begin: {{do: {{do: wait 1 s, opens: all}}}}
  each:
    for-each: {{X: O}}
    caution: [pinch]
    do:
      - {{do: wait 2 s, opens: one}}
      - {{do: wait 3 s, closes: one}}
      - {{do: wait 4 s, closes: all}}
    fails: bad
  after: {{do: wait 1 s, then: good}}
{ENDS}"""


def test_window_opened_before_rounds_ends_in_the_last() -> None:
    """What opens inside a round ends in that round; what was opened before ends in the last one."""
    first = walk(ROUNDS, "done", "done")
    assert ["one"] == [each.window.name for each in first.watch.closed]
    assert [("all", 9000)] == [(each.window.name, each.elapsed.typical) for each in first.watch.running]
    last = first.take("done")
    assert "after" == last.spot.name
    assert [("one", 3000), ("all", 18_000)] == [(each.window.name, each.elapsed.typical) for each in last.watch.closed]


def test_window_ends_where_it_shows_that_a_round_was_the_last() -> None:
    """Where it is only asked afterwards whether there is one more key, the window ends with the answer."""
    asked = walk(ROUNDS.replace("here: 2", "here: 1-2"), "done", "done")
    assert ["all"] == [each.window.name for each in asked.watch.running]
    assert ["one", "all"] == [each.window.name for each in asked.take("no").watch.closed]


def test_window_runs_on_inside_a_block() -> None:
    """A window of the procedure runs while a block is followed, and is given up where the block is left as failed."""
    text = f"""\
windows: {{all: {{at-most: 60 s, late: bad}}}}
steps:
  begin: {{do: {{do: wait 1 s, opens: all}}}}
  outer: {{follow: inner 1, given: {{K: O1}}, ways: {{well: close, badly: close-late}}}}
  close: {{do: {{do: wait 1 s, closes: all}}, then: good}}
  close-late: {{do: wait 1 s, then: bad}}
{ENDS}"""
    inside = walk(text, "done", inner=BLOCK)
    assert ["all"] == [each.window.name for each in inside.watch.running]
    assert ["all"] == [each.window.name for each in inside.take("done").take("open").watch.running]
    assert [] == [each.window.name for each in inside.take("done").take("closed").watch.running]


# What is known.


def known(text: str, *outcomes: str) -> Known:
    """Give what is known after some outcomes."""
    return Known.at(walk(text, *outcomes))


JOB = f"""\
start: {{ignition: off, cylinder: empty, doors: closed, hood: closed, tool: unplugged, support: none}}
keys: {{O: {{kind: key, registered: true, here: 1-2, away: 1}}, N: {{kind: key, registered: false, here: 1}}}}
slots: {{key: 6}}
steps:
  begin: {{do: [insert O1, turn O1 on, open door-driver, open door-passenger, open doors-other, plug tool]}}
  learn: {{do: {{do: open-session, expect: the menu opens}}, fails: bad}}
  read: {{do: read key as n, ways: {{n <= 3: battery, otherwise: bad, fails: bad}}}}
  battery: {{do: look support, ways: {{connected: go-on, none: go-on, fails: bad}}}}
  go-on: {{do: [move-selector P, close doors], then: good}}
{ENDS}"""


def test_keys_are_told() -> None:
    """Where keys are, which may be there, and which are in the list; those that are away are nobody's to hold."""
    found = {key.name: key for key in known(JOB, "done").keys}
    assert ["O1", "O2", "N1"] == list(found)
    assert [True, False, True] == [key.is_sure for key in found.values()]
    assert [("cylinder",), ("hand",), ("hand",)] == [key.places for key in found.values()]
    assert [("yes",), ("yes",), ("no",)] == [key.registered for key in found.values()]
    assert [False] * 3 == [key.is_tested for key in found.values()]
    assert (Fact("O", ("1", "2")),) == known(JOB, "done").counts


def test_keys_that_are_not_there_are_left_out() -> None:
    """Of a group of which none can be here no key is told."""
    text = JOB.replace("here: 1-2", "here: 0-2").replace(
        "steps:\n", "steps:\n  none: {do: count O, ways: {O.here = 0: bad, otherwise: begin}}\n"
    )
    moment = Known.at(walk(text, "O.here = 0"))
    assert ["N1"] == [key.name for key in moment.keys]
    assert (Fact("O", ("0",)),) == moment.counts


def test_vehicle_is_told_where_it_is_not_as_at_the_start() -> None:
    """What was changed is told, the ignition always, and three doors that are all open as the doors."""
    assert [Fact("ignition", ("off",))] == list(known(JOB).vehicle)
    facts = {fact.name: fact.values for fact in known(JOB, "done").vehicle}
    assert {"ignition": ("on",), "doors": ("open",), "tool": ("plugged",)}.items() <= facts.items()
    assert not {"hood", "door-driver", "support"} & facts.keys()


def test_places_and_numbers_are_told_once_they_are_read() -> None:
    """How many places are used nobody knows until it is read; then the way taken says it."""
    assert [()] == [slots.used for slots in known(JOB, "done", "done").slots]
    assert () == known(JOB, "done", "done").numbers
    after = known(JOB, "done", "done", "n <= 3")
    assert [("key", ("0", "1", "2", "3"), ("6",))] == list(after.slots)
    assert (Fact("n", ("0", "1", "2", "3")),) == after.numbers


def test_unknown_is_told_where_it_is_asked_for() -> None:
    """What a line needs and nobody knows is named there, and nowhere else."""
    assert "selector" in known(JOB, "done", "done", "n <= 3", "none").unknown
    assert () == known(TRIED).unknown


def test_left_open_is_told() -> None:
    """At an ending all is told that is not as an ending needs it and not as it was at the start."""
    left = {fact.name: fact.values for fact in known(JOB, "done", "done", "n <= 3", "none", "done").left_open}
    assert {"ignition": ("on",), "tool": ("plugged",), "session": ("open",)}.items() <= left.items()
    assert not {"hood", "door-driver"} & left.keys()


# A way to each ending.


def reached(text: str, limits: SearchLimits | None = None, most: int = 3000) -> dict[str, tuple[list[str] | None, str | None]]:
    """Give for each ending the outcomes that lead there, all that were a choice, and the limit that was met."""
    found = tuple(endings(rehearsal(text), limits or SearchLimits(), most=most))
    assert all(each.arrived is None or each.arrived.spot is each.ending for each in found)
    return {
        each.ending.name: (None if each.arrived is None else [leg.script for leg in each.arrived.way if leg.script], each.limit)
        for each in found
    }


def test_shortest_ways_are_found() -> None:
    """The shortest way to each ending is given by its choices; what is ruled out has none."""
    assert {"good": (["done"], None), "bad": (["fails", "fails", "fails"], None)} == reached(TRIED)
    assert {"good": (["otherwise", "O.here = 2"], None), "bad": (["otherwise", "otherwise"], None)} == reached(COUNTED)
    closed = f"steps:\n  one: {{do: count O, ways: {{O.here = 1: good, otherwise: bad}}}}\n{ENDS}"
    assert (None, None) == reached(closed)["bad"]


def test_some_way_is_looked_for_where_the_search_is_cut() -> None:
    """Where the search for the shortest way meets its limit, some way is given with the limit, or none, with it too."""
    cut = SearchLimits(states=1, rounds=1, total=1)
    assert {"good": (["done"], "states"), "bad": (["fails", "fails", "fails"], "states")} == reached(TRIED, cut)
    assert {"good": (None, "states"), "bad": (None, "states")} == reached(TRIED, cut, most=1)
    # What is looked at comes again and again, and leads nowhere else.
    steps = "  a: {do: look hood, ways: {open: a, closed: b, fails: a}}\n  b: {ways: {O.here = 2: good, otherwise: a}}\n"
    ring = f"steps:\n{steps}{ENDS}"
    assert [None, None] == [way for way, _ in reached(ring, cut).values()]
    # Where the nearest spots lead nowhere, however they are come to, a longer way is taken.
    steps = """\
  count: {do: count O, ways: {O.here >= 3: around, otherwise: ask-him}}
  ask-him: {ask: "Is it his?", ways: {yes: again, no: again}}
  around: {do: wait 3 s, then: further}
  further: {do: wait 3 s, then: again}
  again: {do: count O, ways: {O.here >= 3: bad, otherwise: good}}
"""
    keys = "keys: {O: {kind: key, registered: true, here: 1-4}}"
    assert (["O.here >= 3"], "states") == reached(f"{keys}\nsteps:\n{steps}{ENDS}", cut)["bad"]


# What cannot be walked.


@pytest.mark.parametrize(
    ("name", "kind", "text", "expected"),
    [
        ("example.yaml", "steps", "steps: [", "example.yaml cannot be walked: something is wrong with its form."),
        ("example.yaml", "steps", BLOCK, "example.yaml is a block."),
        ("library.yaml", "library", "name: Ours", "library.yaml is no procedure."),
        (
            "example.yaml",
            "steps",
            FOLLOWS,
            "example.yaml cannot be walked: it follows a block that cannot be read, is missing, or follows itself.",
        ),
    ],
)
def test_what_cannot_be_walked_is_refused(name: str, kind: str, text: str, expected: str) -> None:
    """What holds no procedure, or one that nobody can walk, is a wrong call with what to do about it."""
    whole = text if kind == "library" else completed(name, text)
    with pytest.raises(UsageProblem) as problem:
        rehearse([Input(name, kind, whole.encode())], name, standard(), on=ON)
    assert expected == problem.value.what
    assert problem.value.change


# A key that works is one that is here.


def test_working_key_is_one_that_is_here() -> None:
    """Where the originals are away, making sure of the ignition takes a key that is here, and the way goes on."""
    text = f"""\
vehicles:
  - {{make: Ostrel, model: Tarn, years: 2016, markets: [region-1], ignition-kind: push-start,
     gearbox: [automatic], high-voltage: [none]}}
keys: {{O: {{kind: fob, registered: true, here: 0, away: 1}}, N: {{kind: fob, registered: false, here: 1}}}}
start: {{ignition: off}}
steps:
  only: {{do: [make-sure ignition on, wait 3 s], then: good}}
{ENDS}"""
    assert "good" == walk(text, "done").spot.name


def singles(states: tuple[State, ...], layout: Layout) -> Iterator[State]:
    """Give for each state one in which every variable has one value."""
    for state in states:
        masks = [mask & -mask for mask in layout.masks(state)]
        yield layout.state(masks) | state >> layout.width << layout.width


@pytest.mark.parametrize("text", [COUNTED, HANGS_TOGETHER, TRIED, TIMED, JOB])
@pytest.mark.parametrize("seed", range(3))
def test_what_is_open_for_one_is_open_for_all(text: str, seed: int) -> None:
    """What can come of a spot where every variable has one value can come of it where they may have several."""
    drawn = Random(seed)
    moment = rehearsal(text).begin()
    while moment.options:
        layout = moment.rehearsal.laid.machine.layout
        for single in singles(moment.stand.states, layout):
            alone = Moment(moment.rehearsal, moment.spot, Stand((single,)), moment.watch)
            assert set(open_at(alone)) <= set(open_at(moment))
            assert alone.options
        moment = moment.take(drawn.choice(open_at(moment)))
    assert moment.spot.is_last
