"""What is found by running short procedures: lines left out, looked at or made sure of, and blocks run with other keys."""

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.explorer import Explored
from proclint.analysis.file_study import study_file
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.steps import Layer
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.testing import ON, completed

ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: referred, tell: It does not answer.}}\n"


def flow_of(text: str) -> Flow:
    """Read a procedure or block, completed where it says too little."""
    more = "" if text.startswith("block:") or "endings:" in text else ENDINGS
    found = study_file("example.yaml", completed("example.yaml", text + more).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    assert found.is_sound, found.faults
    return found.flow


def study_of(text: str, *blocks: str) -> Study:
    """Read a procedure or block beside the blocks that it may follow."""
    flows = (flow_of(text), *map(flow_of, blocks))
    return Study(flows[0], Shelf({each.id: each for each in flows if isinstance(each, Block)}, standard()), ON, Limits())


def found(text: str, *blocks: str) -> set[str]:
    """Give the lines of a file that cannot be done as things are stated, each with what is in the way."""
    broken = study_of(text, *blocks).states.broken
    is_need = (each for each in broken if each.demand.line >= 0 and not each.demand.hazard and each.grade != "unstated")
    return {f"{each.demand.text}: {each.demand.variable} {' '.join(each.found)}" for each in is_need}


# `turn O1 off` is idle from the start: where somebody comes to it, that is found.
IDLE = "turn O1 off: ignition off"


@pytest.mark.parametrize(("gearbox", "expected"), [("manual", set()), ("automatic", {IDLE}), ("manual, automatic", {IDLE})])
def test_what_no_vehicle_has_is_never_seen(gearbox: str, expected: set[str]) -> None:
    """Nobody comes to what stands behind a look that none of the vehicles allows."""
    vehicles = "{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: keyed, gearbox: [%s]}"
    steps = "steps:\n  see: {do: look gearbox, ways: {automatic: odd, manual: all-right, fails: gone}}\n"
    text = f"vehicles: [{vehicles % gearbox}]\n{steps}  odd: {{do: turn O1 off, then: all-right}}\n"
    assert expected == found(text)


def test_made_sure_of_once() -> None:
    """What is made sure of twice is done the first time only, and so on both ways to the second."""
    text = "steps:\n  a: {do: look tool, ways: {plugged: b, unplugged: c, fails: gone}}\n  b: {do: tap tool}\n"
    assert set() == found(text + "  c: {do: [make-sure tool plugged, make-sure tool plugged, tap tool], then: all-right}\n")
    assert {"tap tool: tool unplugged"} == found(text + "  c: {do: [make-sure tool unplugged, tap tool], then: all-right}\n")


def test_making_sure_may_fail() -> None:
    """Where a step that makes sure of something has a failing way, somebody may take it."""
    text = "steps: {a: {do: make-sure tool plugged, then: all-right, fails: b}}\nfallbacks: {b: {do: turn O1 off, then: gone}}\n"
    assert {IDLE} == found(text)
    assert set() == found(text.replace("fails: b", "fails: gone").replace("turn O1 off", "turn O1 on"))


@pytest.mark.parametrize(("least", "expected"), [(5, {IDLE}), (6, set())])
def test_conditions_behind_making_sure(least: int, expected: set[str]) -> None:
    """A step that ends with making sure of something is left by what was read before it: more than the cap is never read."""
    text = f"""\
slots: {{key: 5}}
start: {{ignition: on, cylinder: O1, tool: plugged}}
steps:
  a: {{do: [read key as n, make-sure ignition off], ways: {{n >= {least}: b, otherwise: all-right, fails: gone}}}}
  b: {{do: turn O1 off, then: all-right}}
"""
    assert expected == found(text)


READY = "{ignition: on, cylinder: empty, tool: plugged, session: open, authority: proven}"
TAKE = f"""\
block: take
given: {{K: key}}
before: {READY}
exits: [taken, refused]
steps: {{a: {{do: learn K, then: taken, fails: refused}}}}
"""


@pytest.mark.parametrize(("kind", "expected"), [("key", {"learn K: cylinder empty"}), ("fob", set())])
def test_a_kind_that_only_the_caller_knows(kind: str, expected: set[str]) -> None:
    """Run alone, a block does not know of what kind its key is, and what hangs on that is asked of its callers."""
    assert set() == found(TAKE)
    keys = f"keys: {{N: {{kind: {kind}, registered: false, here: 1}}}}\nslots: {{{kind}: 5}}\n"
    text = (
        f"{keys}start: {READY}\nsteps: {{x: {{follow: take 1, given: {{K: N1}}, ways: {{taken: all-right, refused: gone}}}}}}\n"
    )
    assert expected == {each for each in found(text, TAKE) if ": cylinder" in each}


SPARE = "keys: {O: {kind: key, registered: true, here: 1}, N: {kind: key, registered: false, here: %s}}\n"


@pytest.mark.parametrize(("here", "expected"), [("1", {IDLE}), ("2", set()), ("1-2", {IDLE})])
def test_a_count_of_keys_narrows_ways(here: str, expected: set[str]) -> None:
    """Who counts the keys goes on as many as the file says there may be."""
    text = SPARE % here + "steps:\n  a: {do: count N, ways: {N.here < 2: b, otherwise: all-right}}\n"
    assert expected == found(text + "  b: {do: turn O1 off, then: all-right}\n")


BELT = "block: belt\nexits: [on]\nsteps: {a: {do: {do: fasten-belt, only-if: brake-pedal = down}, then: on}}\n"
TWICE = """\
block: twice
exits: [ended]
steps:
  down: {do: push brake}
  first: {follow: belt 1}
  up: {do: [unfasten-belt, let-up brake]}
  second: {follow: belt 1}
  last: {do: fasten-belt, then: ended}
"""


def laid(text: str, *blocks: str) -> Laid:
    """Lay a file out."""
    study = study_of(text, *blocks)
    return lay(study.flow, study.written, study.shelf, Layer(study.shelf))


def test_what_looks_suspect_and_is_not() -> None:
    """A block that is followed in two states is passed once for both; what this makes suspect is cleared by a closer look."""
    assert laid(TWICE, BELT).starts
    assert Explored((), ()) == laid(TWICE, BELT).explored()
    assert set() == found(TWICE, BELT)
    assert {"unfasten-belt: belt-driver open"} == found(TWICE.replace("push brake", "let-up brake"), BELT)


def test_what_does_not_matter_in_a_part_is_given_back() -> None:
    """A run of lines entered in a state leads out in what it makes of what matters inside, with the rest as it was."""
    whole = laid("steps:\n  a: {do: turn O1 on, then: all-right}\n")
    start = whole.cast.layout.state(*whole.start)
    parts = [whole.piece]
    while parts[-1].pieces:
        parts.append(parts[-1].pieces[0].part)
    inside, rest = parts[-1].passed_apart(start)
    assert rest
    assert [(outcome, after | rest) for outcome, after in inside.outs] == list(parts[-1].passed(start).outs)
