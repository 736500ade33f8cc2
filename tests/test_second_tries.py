"""Second tries: what is different at them, and what the vehicle still counts from the first.

What counts as a difference is common practice, no source: another key, variant, place or power, and time that has passed.
"""

import pytest

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.testing import ON, completed

ENDINGS = "endings: {all-right: {kind: success, tell: It works.}, gone: {kind: not-as-found, tell: It does not work.}}\n"
WAIT = "block: rest\nexits: [rested]\nsteps: {a: {do: look hood, then: rested}}\n"


def flow(text: str) -> Flow:
    """Read a procedure or block; it is completed."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert found.flow is not None
    return found.flow


def study(text: str) -> Study:
    """Read a procedure beside a block that only looks."""
    block = flow(WAIT)
    assert isinstance(block, Block)
    return Study(flow(text), Shelf({block.id: block}, standard()), ON, Limits())


def idle(try_it: str, back: str) -> list[tuple[str, ...]]:
    """Give the retries before which nothing is changed, where `back` is the step that leads from the failing to the try again."""
    text = f"steps:\n  try-it: {{{try_it}, fails: back}}\nfallbacks:\n  back: {{tries: 1, {back}}}\n"
    return [retry.names for retry in study(text + ENDINGS).idle_retries]


OPEN = "do: open-session, then: all-right"
AGAIN = "ways: {done: try-it, spent: gone}"


@pytest.mark.parametrize(
    ("try_it", "back"),
    [
        (OPEN, AGAIN),
        (OPEN, f"do: look hood, {AGAIN}"),
        (OPEN, f"do: tap tool, {AGAIN}"),
        (OPEN, "do: read key as n, ways: {n < 4: try-it, otherwise: gone, fails: gone, spent: gone}"),
        (OPEN, "do: look hood, ways: {open: try-it, closed: gone, spent: gone}"),
        ("do: learn N1, then: all-right", AGAIN),
        ("do: [look hood, learn N1], then: all-right", AGAIN),
        ("do: start O1, then: all-right", AGAIN),
        ("do: {do: wait 5 s, expect: the lamp is dark, by: vehicle}, then: all-right", AGAIN),
    ],
)
def test_second_try_as_the_first(try_it: str, back: str) -> None:
    """A try that equipment or vehicle refuses, and that comes again while nothing was done, is found."""
    assert [("try-it", "back", "try-it")] == idle(try_it, back)


@pytest.mark.parametrize(
    ("try_it", "back"),
    [
        (OPEN, f"do: wait 30 s, {AGAIN}"),
        (OPEN, f"do: wait-lockout, {AGAIN[:-1]}, fails: gone}}"),
        (OPEN, f"do: select B, {AGAIN[:-1]}, fails: gone}}"),
        (OPEN, f"do: put O1 pouch, {AGAIN}"),
        (OPEN, f"do: make-sure ignition on, {AGAIN}"),
        (OPEN, f"do: act seat the plug again, {AGAIN}"),
        (OPEN, f"do: look hood, meanwhile: [tap tool, connect-support 13.5 V], {AGAIN}"),
        (OPEN, "ask: Was the plug in?, ways: {was-in: gone, was-out: try-it, spent: gone}"),
        (OPEN, f"follow: rest 1, {AGAIN}"),
        (OPEN, f"do: learn N1, {AGAIN[:-1]}, fails: gone}}"),
        (OPEN, "do: look hood, then: gone"),
        ("do: learn N.missing, then: all-right", AGAIN),
        ("do: [insert N1, learn N1], then: all-right", AGAIN),
        ("do: act press the foil flat, then: all-right", AGAIN),
        ("do: {do: act turn it, expect: it turns, by: vehicle}, then: all-right", AGAIN),
        ("do: enter-code 5 digits, then: all-right", AGAIN),
        ("do: turn O1 on, then: all-right", AGAIN),
    ],
)
def test_second_try_with_a_difference(try_it: str, back: str) -> None:
    """Another key, variant, place or power, time, work in free words and whatever a person or a block may do, are differences.
    So is a second try by hand; and a way that does not lead back is no second try.
    """
    assert [] == idle(try_it, back)


def test_try_leads_back_to_itself() -> None:
    """A step whose failing leads to itself is tried again with nothing between."""
    text = f"steps: {{try-it: {{{OPEN}, tries: 2, ways: {{done: all-right, fails: try-it, spent: gone}}}}}}\n".replace(
        "then: all-right, ", ""
    )
    found = study(text + ENDINGS)
    assert [("try-it", "try-it")] == [(retry.last, retry.again) for retry in found.idle_retries]
    assert [("try-it", "try-it")] == [retry.names for retry in found.idle_retries]
    assert ["fails"] == [edge.outcome for edge in found.way_of(found.idle_retries[0])]


def test_spent_tries_are_no_failing() -> None:
    """A step that is come back to when its tries are spent was not refused."""
    text = "steps:\n  try-it: {do: open-session, tries: 2, ways: {done: all-right, fails: gone, spent: back}}\n"
    text += "fallbacks:\n  back: {do: look hood, then: try-it}\n"
    assert () == study(text + ENDINGS).idle_retries


def test_way_to_a_second_try() -> None:
    """The way that shows a second try leads to the first, out by its failing and back, though another outcome leads there too."""
    text = f"steps:\n  before: {{do: plug tool}}\n  try-it: {{do: open-session, then: back, fails: back}}\nfallbacks:\n  back: {{{AGAIN}}}\n"
    found = study(text.replace("{ways", "{tries: 1, ways") + ENDINGS)
    way = found.way_of(found.idle_retries[0])
    assert ["done", "fails", "done"] == [edge.outcome for edge in way]
    assert ["before", "try-it", "back"] == [found.graph.nodes[edge.source].name for edge in way]


def timed(begin: str, back: str, late: str = "back", window: str = "at-most: 10 s") -> list[tuple[str, ...]]:
    """Give the retries of a timed part of two steps before which nothing of it is undone."""
    text = f"windows: {{press: {{{window}, late: {late}}}}}\nsteps:\n  begin: {{{begin}}}\n"
    text += "  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right, fails: back}\n"
    found = study(f"{text}fallbacks:\n  back: {{tries: 1, {back}}}\n{ENDINGS}")
    assert () == found.idle_retries
    return [each.retry.names for each in found.retries_without_reset]


BEGIN = "do: {do: turn O1 on, opens: press}"
ROUND = "ways: {done: begin, spent: gone}"


@pytest.mark.parametrize(
    ("begin", "back", "late", "expected"),
    [
        (BEGIN, ROUND, "back", ("begin", "back", "begin")),
        (BEGIN, f"do: unplug tool, {ROUND}", "back", ("begin", "back", "begin")),
        (BEGIN, f"do: look hood, {ROUND}", "back", ("begin", "back", "begin")),
        (BEGIN, "do: look hood, then: gone", "begin", ("begin", "begin")),
        (BEGIN, "do: look hood, then: begin", "gone", ("press-it", "back", "begin")),
        ("do: {do: press START 2 times, opens: press}", f"do: let-up brake, {ROUND}", "back", ("begin", "back", "begin")),
        ("do: {do: tap tool, opens: press}", f"do: turn O1 off, {ROUND}", "back", ("begin", "back", "begin")),
    ],
)
def test_timed_part_begun_again_without_reset(begin: str, back: str, late: str, expected: tuple[str, ...]) -> None:
    """A timed part that is left late or failing and begun again while nothing of it was undone is found, once a window."""
    assert [expected] == timed(begin, back, late)


@pytest.mark.parametrize(
    ("begin", "back", "late"),
    [
        (BEGIN, f"do: turn O1 off, {ROUND}", "back"),
        (BEGIN, f"do: wait 20 s, {ROUND}", "back"),
        (BEGIN, f"do: make-sure ignition off, {ROUND}", "back"),
        (BEGIN, f"do: act take the key out, {ROUND}", "back"),
        (BEGIN, f"follow: rest 1, {ROUND}", "back"),
        (BEGIN, "do: look hood, then: gone", "back"),
        (BEGIN, "do: look hood, then: gone", "gone"),
        ("do: [wait 5 s, {do: turn O1 on, opens: press}]", ROUND, "back"),
        ("do: {do: press START 2 times, opens: press}", f"do: press START 1 times, {ROUND}", "back"),
    ],
)
def test_timed_part_begun_again_after_reset(begin: str, back: str, late: str) -> None:
    """Whatever undoes some of a timed part, lets time pass or may do so ends the first try; the first step may do it itself."""
    assert [] == timed(begin, back, late)


def test_timed_part_without_a_way_when_late() -> None:
    """A window that says nowhere what comes when it is late is left by its failing alone."""
    text = "windows: {press: {at-least: 2 s}}\nsteps:\n  begin: {do: {do: turn O1 on, opens: press}}\n"
    text += "  press-it: {do: {do: keep O1 LOCK 2-4 s, closes: press}, then: all-right}\n"
    assert () == study(text + ENDINGS).retries_without_reset
