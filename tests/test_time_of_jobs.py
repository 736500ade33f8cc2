"""How long the ways of a job take, against sums made by hand; how long a hand takes is common practice, no source."""

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import study_file
from proclint.analysis.time.job import WayTime
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.testing import ON, completed

ENDS = """endings:
  all-right: {kind: success, tell: It works.}
  not-learned: {kind: as-found, tell: Nothing was changed.}
"""


def flow_of(text: str) -> Flow:
    """Read a procedure or block."""
    found = study_file("example.yaml", completed("example.yaml", text).encode(), "steps", standard(), on=ON)
    assert () == found.faults
    assert found.flow is not None
    return found.flow


def ways_of(text: str, *blocks: str) -> dict[str, WayTime]:
    """Give the times of the ways to each ending of a file."""
    flows = (flow_of(text), *map(flow_of, blocks))
    shelf = Shelf({each.id: each for each in flows if isinstance(each, Block)}, standard())
    return {each.ending: each for each in Study(flows[0], shelf, ON, Limits()).times.ways}


def three(way: WayTime) -> tuple[int, int, int | None]:
    """Give its quickest, usual and slowest time."""
    return way.quickest, way.usual, way.slowest


# Put in 1, 1.5, 3 s and turned 0.5, 1, 2 s; learned in 4, 6, 9 s with a sign up to 2 s later; 20 s of waiting, once.
LEARN = f"""steps:
  a: {{do: [insert O1, turn O1 on]}}
  b: {{do: {{do: learn N1, takes: 4-6-9 s, expect: the lamp lights, within: 2 s}}, then: all-right, fails: again}}
fallbacks:
  again: {{tries: 1, do: wait 20 s, ways: {{done: b, spent: not-learned}}}}
{ENDS}keys: {{O: {{kind: key, registered: true, here: 1}}, N: {{kind: key, registered: false, here: 1}}}}
"""


def test_ways_with_tries() -> None:
    """The quickest way has the least of all, the usual one no failure, the slowest all tries: 3 + 2 + 11 + 20 + 11 s."""
    found = ways_of(LEARN)
    assert (1_500 + 4_000, 2_500 + 6_000, 5_000 + 11_000 + 20_000 + 11_000) == three(found["all-right"])
    assert (("a", "done"), ("b", "done")) == found["all-right"].usual_way
    # It is not looked at whether the tries are spent on the quickest way: it is never too long.
    assert (1_500 + 4_000, 2_500 + 8_000 - 2_000, 47_000) == three(found["not-learned"])
    assert (("a", "done"), ("b", "fails"), ("again", "spent")) == found["not-learned"].usual_way


def test_ways_that_no_number_ends() -> None:
    """Where a loop has no end the slowest way has none either, and the limit is named."""
    found = ways_of(LEARN.replace("{tries: 1, do: wait 20 s, ways: {done: b, spent: not-learned}}", "{do: wait 20 s, then: b}"))
    assert ["all-right"] == list(found)
    way = found["all-right"]
    assert way.limit is not None
    assert (None, "rounds that no number ends") == (way.slowest, way.limit.limit)


def test_ways_in_rounds() -> None:
    """Rounds add up, as many as there may be keys; one that fails may be the first or the last of them."""
    text = (
        LEARN.replace("b: {", "b: {for-each: {X: N}, ")
        .replace("learn N1", "learn X")
        .replace("false, here: 1", "false, here: 1-3")
    )
    found = ways_of(text)
    assert (1_500 + 4_000, 2_500 + 2 * 6_000, 5_000 + 33_000 + 20_000 + 33_000) == three(found["all-right"])
    assert (1_500 + 4_000, 5_000 + 33_000 + 20_000 + 33_000) == (found["not-learned"].quickest, found["not-learned"].slowest)


def test_late_leaves_at_any_time() -> None:
    """Whoever is late leaves a step after nothing at least, and after all of it at most."""
    windows = "windows: {w: {at-most: 20 s, late: not-learned}}\n"
    found = ways_of(
        f"{windows}steps:\n  a: {{do: [{{do: insert O1, opens: w}}, {{do: turn O1 on, closes: w}}], then: all-right}}\n{ENDS}"
    )
    assert (1_500, 2_500, 5_000) == three(found["all-right"])
    assert (0, 5_000) == (found["not-learned"].quickest, found["not-learned"].slowest)


BLOCK = (
    "block: look-at-it\ngiven: {K: key, pause: duration}\nexits: [seen, dark]\nsteps:\n"
    "  a: {do: [turn K on, wait pause], fails: dark}\n  b: {do: look on-lamp, ways: {lit: seen, dark: dark, fails: dark}}\n"
)
FOLLOWED = f"""steps:
  one: {{do: insert O1}}
  two: {{follow: look-at-it 1, given: {{K: O1, pause: 3-5 s}}, ways: {{seen: all-right, dark: not-learned}}}}
{ENDS}"""


def test_ways_through_a_block() -> None:
    """A block takes what its way to the exit takes: turned 0.5, 1, 2 s, waited 3, 4, 5 s, looked 2, 4, 10 s."""
    found = ways_of(FOLLOWED, BLOCK)
    assert (1_000 + 5_500, 1_500 + 9_000, 3_000 + 17_000) == three(found["all-right"])
    # It is left sooner where the turn fails, seen at the earliest after 0.5 and 3 s; and a way that no exit of the block allows is none.
    assert (1_000 + 3_500, 3_000 + 17_000) == (found["not-learned"].quickest, found["not-learned"].slowest)
    assert ["all-right"] == list(
        ways_of(FOLLOWED, BLOCK.replace("dark: dark, ", "dark: seen, ").replace("fails: dark", "fails: seen"))
    )


def test_block_in_rounds() -> None:
    """A block that is followed for each key fails after the rounds before it."""
    each = (
        FOLLOWED.replace("two: {", "two: {for-each: {X: O}, ").replace("K: O1", "K: X")
        + "keys: {O: {kind: key, registered: true, here: 2}}\n"
    )
    found = ways_of(each, BLOCK)
    assert (1_000 + 2 * 5_500, 1_500 + 2 * 9_000, 3_000 + 2 * 17_000) == three(found["all-right"])
    assert (1_000 + 3_500, 3_000 + 2 * 17_000) == (found["not-learned"].quickest, found["not-learned"].slowest)


def test_block_before_an_ending() -> None:
    """A block that every way to an ending runs through is added: 2, 4, 10 s to look."""
    block = "block: last-look\nexits: [ready]\nsteps: {a: {do: look on-lamp, ways: {lit: ready, dark: ready, fails: ready}}}\n"
    ends = ENDS.replace("kind: success,", "kind: success, through: last-look 1,")
    text = f"steps: {{one: {{do: [insert O1, turn O1 on], then: all-right}}}}\n{ends}"
    assert (1_500 + 2_000, 2_500 + 4_000, 5_000 + 10_000) == three(ways_of(text, block)["all-right"])
    # A block that is not there takes nothing.
    assert (1_500, 2_500, 5_000) == three(ways_of(text)["all-right"])


def on_time(steps: str, more: str = "", *blocks: str) -> tuple[int, int, int] | None:
    """Give how long the ignition is on without support on the usual way to the wished ending."""
    found = ways_of(f"steps: {{one: {{do: [{steps}], then: all-right, fails: not-learned}}}}\n{ENDS}{more}", *blocks)[
        "all-right"
    ].ignition_on
    return None if found is None else (found.least, found.usual, found.most)


START = "start: {ignition: off, cylinder: O1, support: none}\n"


def test_ignition_on_without_support() -> None:
    """Counted is what is done from the turn to on to the turn to off, both while nothing supports the battery."""
    # Turned to off takes 0.5, 1, 2 s, and is done while it is still on.
    assert (5_500, 6_000, 7_000) == on_time("turn O1 on, wait 5 s, turn O1 off, wait 9 s", START)
    assert (0, 0, 0) == on_time("wait 5 s", START)
    # With support nothing counts, and from where it is known to be connected on.
    assert (0, 0, 0) == on_time("turn O1 on, wait 5 s", START.replace("support: none", "support: connected"))


def test_ignition_that_lines_do_not_tell() -> None:
    """Where nobody says where the ignition is, there is no answer."""
    assert on_time("wait 5 s", "start: {ignition: unknown, cylinder: O1}\n") is None


BUTTON = """vehicles: [{make: Corvane, model: Halyard, years: 2013-2017, markets: [region-1], ignition-kind: push-start}]
start: {ignition: off, cylinder: empty, support: none, brake-pedal: up}
"""


def test_ignition_by_a_button() -> None:
    """A start button goes to accessory, on and off by how often it is pressed, with the foot on the brake or not."""
    # Two presses make it on; after 5 s the third, 0.5, 1, 2 s long, makes it off. At accessory nothing counts.
    assert (5_500, 6_000, 7_000) == on_time("press START 2 times, wait 5 s, press START, wait 9 s", BUTTON)
    assert (0, 0, 0) == on_time("press START, wait 5 s", BUTTON)
    assert (5_000, 5_000, 5_000) == on_time("push brake, press START, wait 5 s", BUTTON)
    # Where nobody knows the brake pedal, nobody knows what the press did.
    assert on_time("press START, wait 5 s", BUTTON.replace("brake-pedal: up", "brake-pedal: unknown")) is None


def test_ignition_made_sure_of() -> None:
    """What is made sure of is so afterwards, whatever it was."""
    assert (5_000, 5_000, 5_000) == on_time("make-sure ignition on, wait 5 s", START)
    assert (5_000, 5_000, 5_000) == on_time("press trip, make-sure ignition on, wait 5 s", START)


def test_ignition_through_a_block() -> None:
    """Lines of blocks count too: the block waits and looks while the ignition is on: 3, 4, 5 s and 2, 4, 10 s."""
    found = ways_of(FOLLOWED + START, BLOCK)["all-right"].ignition_on
    assert found is not None
    assert (5_000, 8_000, 15_000) == (found.least, found.usual, found.most)
