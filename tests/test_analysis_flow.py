"""What comes of each kind of step, where windows are open, and which names are used."""

import pytest

from proclint.analysis import Limits, Shelf, Study, loops, unbounded
from proclint.analysis.file_study import study_file
from proclint.analysis.library import extract_of, reached_by, ring_through
from proclint.analysis.usage import undeclared, unused
from proclint.catalogue import standard
from proclint.model import Block, Flow
from proclint.rule import Rule, rules_in
from proclint.rules import graph
from proclint.testing import ON, Example

RULE: Rule = rules_in(graph)[0]
ENDS = """
endings:
  well: {kind: success, tell: It works.}
  same: {kind: as-found, tell: Nothing was changed.}
"""


def flow(text: str) -> Flow:
    """Read a procedure or block, what it leaves out filled in as on a rule's page."""
    (whole,) = Example(RULE, "bad", 1, text, (RULE,)).files.values()
    found = study_file("example.yaml", whole.encode(), "steps", standard(), on=ON)
    assert found.flow is not None, found
    return found.flow


def block(text: str) -> Block:
    """Read a block."""
    found = flow(text)
    assert isinstance(found, Block)
    return found


def study(text: str, *blocks: str, most: int = 20_000) -> Study:
    """Read a procedure or block beside the blocks that it may follow."""
    shelf = Shelf({each.id: each for each in map(block, blocks)}, standard())
    return Study(flow(text), shelf, ON, Limits(most))


TRY = "block: try\nexits: [good, bad, gone]\nsteps: {a: {do: look hood, ways: {open: good, closed: bad, fails: gone}}}\n"


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("do: insert O1", "done>next"),
        ("do: insert O1, then: well", "done>well"),
        ("do: learn N1, fails: same", "done>next fails!same"),
        ("do: learn N1", "done>next fails!"),
        ("do: {do: insert O1, expect: the lamp lights}, fails: same", "done>next fails!same"),
        ("do: {do: look hood, expect: it is open}, then: well, fails: same", "done>well fails!same"),
        ("do: insert O1, fails: same", "done>next fails!same"),
        ("do: count O", "done>next"),
        ("do: {do: act tap the roof, by: equipment}", "done>next fails!"),
        ("do: {do: learn N1, by: technician}", "done>next"),
        ("do: learn N1, tries: 1, fails: same", "done>next fails!same spent!same"),
        ("do: wait 5 s, tries: 1, ways: {done: well, spent: same}", "done>well spent!same"),
        ("do: look hood", "done>next"),
        ("do: look hood, ways: {open: well, closed: same}", "open>well closed>same"),
        ("do: look hood, ways: {open: well, otherwise: same}", "open>well closed>same"),
        ("do: look hood, ways: {open: well, done: same}", "open>well closed>same"),
        ("do: look hood, ways: {open: well, fails: same}", "open>well closed!same fails!same"),
        ("do: [look hood, insert O1], ways: {open: well, closed: same}", "open>well closed>same"),
        ("do: start O1, ways: {runs: well, fails: same}", "runs>well stalls!same does not start!same fails!same"),
        ("do: read key as n, ways: {n < 4: well, otherwise: same, fails: same}", "n < 4>well otherwise>same fails!same"),
        ("do: read key as n, ways: {n < 4: well, n >= 4: same, fails: same}", "n < 4>well n >= 4>same fails!same"),
        ("do: read wrong-codes as n, ways: {locked: same, n < 4: well, fails: same}", "n < 4>well locked!same fails!same"),
        ("ask: Is it dry?, ways: {dry: well, wet: same}", "dry>well wet>same"),
        ("ask: Is it dry?, ways: {dry: well, wet: same, fails: same}", "dry>well wet>same fails!same"),
        ("ways: {variant = A: well, otherwise: same}", "variant = A>well otherwise>same"),
        ("follow: try 1", "good>next bad! gone!"),
        ("follow: try 1, fails: same", "good>next bad!same gone!same"),
        ("follow: try 1, ways: {good: well, otherwise: same}", "good>well bad!same gone!same"),
        ("follow: try 1, then: well, ways: {gone: same}", "good>well bad! gone!same"),
        ("follow: lost 1", "done>next"),
        ("follow: lost 1, ways: {found: well, gone: same}", "found>well gone!same"),
    ],
)
def test_exits(step: str, expected: str) -> None:
    """Every possible outcome of a step is given once, `>` or, where it is a failure, `!` before where it leads."""
    known = study(f"steps:\n  this: {{{step}}}\n  next: {{do: look hood, then: well}}{ENDS}", TRY).written
    found = [f"{each.outcome}{'!' if each.is_failing else '>'}{each.target}" for each in known.steps["this"].exits]
    assert expected == " ".join(found)


def test_ending_runs_its_block_first() -> None:
    """A way to an ending passes the block that it runs through, and nothing of the file stands between."""
    close = "block: shut\nexits: [closed]\nsteps: {off: {do: close-log, then: closed}}\n"
    known = study(
        "steps: {a: {do: look hood, then: well}}\nendings: {well: {kind: success, through: shut 1, tell: Done.}}\n", close
    )
    names = [known.graph.nodes[edge.target].name for edge in known.way_to("well")]
    assert ["off", "closed", "well"] == names
    assert [("well",), ("well",), ()] == [known.graph.nodes[edge.target].calls for edge in known.way_to("well")]


def test_way_to_what_is_not_there() -> None:
    """There is no way to a name that the file does not have."""
    assert () == study("title: A job\n").way_to("nowhere")


def test_silence_before_a_block() -> None:
    """A first session whose failing runs only a close-out is followed by nothing, one that tries something is."""
    close = "block: shut\nexits: [closed]\nsteps: {off: {do: close-log, then: closed}}\n"
    ends = (
        "endings: {well: {kind: success, tell: It works.}, same: {kind: as-found, through: shut 1, tell: Nothing was changed.}}\n"
    )
    bare = "steps:\n  a: {do: open-session, then: well, fails: same}\n" + ends
    tried = "steps:\n  a: {do: open-session, then: well, fails: b}\nfallbacks:\n  b: {follow: shut 1, then: same}\n" + ends
    assert [("a", "same")] == [(each.node.name, each.ending) for each in study(bare, close).silences]
    assert () == study(tried, close).silences


def test_first_contact_behind_another_step() -> None:
    """Only the session that is opened first counts, wherever it stands, and a step that both ways lead to is seen once."""
    steps = """steps:
  a: {do: look hood, ways: {open: b, closed: b}}
  b: {do: open-session, then: c, fails: same}
  c: {do: open-session, then: well, fails: same}
"""
    assert ["b"] == [each.node.name for each in study(steps + ENDS).silences]


def test_limit_of_nodes_is_told() -> None:
    """Past the limit blocks stay closed, and the step at which that began is named; below it nothing is."""
    text = "steps:\n  a: {follow: try 1, fails: same}\n  b: {follow: try 1, then: well, fails: same}" + ENDS
    assert "" == study(text, TRY, most=8).graph.cut_at
    assert "b" == study(text, TRY, most=7).graph.cut_at
    assert "a" == study(text, TRY, most=3).graph.cut_at
    cut = study(text, TRY, most=3).graph
    whole = study(text, TRY).graph
    assert (4, 12) == (len(cut.nodes), len(whole.nodes))
    assert {"a", "b", "well", "same"} == {cut.nodes[index].name for index in cut.reached}


OWN_CAUTION = "cautions: {own: {signal: caution, hazard: H, consequence: C, avoid: A}}\n"
SPAN = """windows: {press: {at-most: 10 s%s}}
steps:
  before: {do: insert O1}
  begin: {do: [wait 1 s, {do: turn O1 on, opens: press}]}
  amid: {do: look on-lamp}
  finish: {do: {do: turn O1 off, closes: press}, then: well%s}
  after: {do: wait 1 s, then: well}
"""


@pytest.mark.parametrize(
    ("late", "fails", "expected"),
    [(", late: same", "", "same"), ("", ", fails: same", "same"), (", late: well", ", fails: same", "well"), ("", "", "")],
)
def test_window_spans_steps(late: str, fails: str, expected: str) -> None:
    """A window is open from the step that opens it to the one that closes it; late leads to its own way, else to that failing."""
    known = study(SPAN % (late, fails) + ENDS)
    (region,) = known.written.regions
    assert ("begin", "amid", "finish") == region.steps
    assert (frozenset({"begin"}), frozenset({"finish"}), expected) == (region.openers, region.closers, region.late)
    found = {known.graph.nodes[edge.source].name for edge in known.graph.edges if edge.outcome == "late"}
    assert (set(region.steps) if expected else set()) == found


def test_window_in_rounds_and_back_ways() -> None:
    """A way back into the middle is found, one back to the beginning is none, and a window that is never opened has no middle."""
    back = SPAN % (", late: again", "") + "fallbacks:\n  again: {tries: 1, do: wait 2 s, ways: {done: %s, spent: same}}" + ENDS
    assert ["amid"] == [entry.node.name for entry in study(back % "amid").window_entries]
    assert () == study(back % "begin").window_entries
    never = "windows: {press: 9 s}\nsteps: {a: {do: {do: turn O1 off, closes: press}, then: well}}" + ENDS
    assert () == study(never).window_entries


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("steps: {a: {caution: [no-such-thing], do: look hood, then: well}}", "caution no-such-thing"),
        (
            OWN_CAUTION + "steps: {a: {caution: [own], do: look hood, then: well}}",
            "",
        ),
        ("steps: {a: {do: insert Z1, then: well}}", "key Z1"),
        ("steps: {a: {do: insert O2, then: well}}", "key O2"),
        ("steps: {a: {do: count O, then: well}}", ""),
        ("steps: {a: {for-each: {X: O}, do: insert X, then: well}}", ""),
        ("steps: {a: {do: wait 5 s, meanwhile: {do: insert Z1, every: 1 s}, then: well}}", "key Z1"),
        ("steps: {a: {do: {do: insert O1, opens: lost}, then: well}}", "window lost"),
        ("steps: {a: {do: {do: insert O1, closes: lost at start}, then: well}}", "window lost"),
        ("start: {weather: wet}\n", "variable weather"),
        ("start: {hood: ajar}\n", "value ajar"),
        ("start: {cylinder: O1, hood: open, wrong-codes: 3}\n", ""),
        ("block: wash\ngiven: {K: key}\nsteps: {a: {do: insert K, then: ready}}\n", ""),
        ("block: wash\ngiven: {K: key}\nsteps: {a: {do: insert L, then: ready}}\n", "key L"),
        ("block: wash\nbefore: {hood: ajar}\n", "value ajar"),
    ],
)
def test_undeclared(text: str, expected: str) -> None:
    """A name that is used is declared in the file, or is one of the catalogue's."""
    whole = text if text.startswith("block:") or "start:" in text else text + ENDS
    assert expected == " ".join(f"{each.what} {each.name}" for each in undeclared(flow(whole), standard()))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("windows: {press: 5 s}\n", "window press"),
        ("windows: {press: 5 s}\nsteps: {a: {do: {do: insert O1, opens: press}, then: all-right}}\n", ""),
        (OWN_CAUTION, "caution own"),
        (OWN_CAUTION + "steps: {a: {caution: [own], do: insert O1, then: all-right}}\n", ""),
        ("start: {cylinder: empty}\n", "group of keys O"),
        ("start: {cylinder: O1}\n", ""),
        ("start: {cylinder: empty}\nsteps: {a: {for-each: {X: O}, do: insert X, then: all-right}}\n", ""),
        ("start: {cylinder: empty}\nsteps: {a: {do: count O, ways: {O.here = 1: all-right, otherwise: all-right}}}\n", ""),
        ("start: {cylinder: empty}\nsteps: {a: {follow: try 1, given: {K: O1}, then: all-right}}\n", ""),
        ("block: wash\ngiven: {K: key, L: keys, rest: duration}\nsteps: {a: {do: [insert K, count L, wait rest]}}\n", ""),
        ("block: wash\ngiven: {K: key, L: keys}\nsteps: {a: {do: insert K, then: ready}}\n", "parameter L"),
    ],
)
def test_unused(text: str, expected: str) -> None:
    """What a file declares is used somewhere in it."""
    assert expected == " ".join(f"{what} {name}" for what, name, _ in unused(flow(text)))


def test_blocks_reach_procedures() -> None:
    """A block reaches the procedures that follow it, through others too, each named once."""
    top = "block: top\nexits: [ok]\nsteps:\n  a: {follow: low 1}\n  b: {follow: low 1, then: ok}\n"
    low = "block: low\nexits: [ok]\nsteps: {a: {do: wait 1 s, then: ok}}\n"
    job = "steps:\n  a: {follow: top 1}\n  b: {follow: low 1}\n  c: {follow: lost 1, then: all-right}\n"
    extracts = [extract_of(flow(text)) for text in (top, low, job)]
    assert {"top": ("example",), "low": ("example",)} == reached_by(extracts)


def test_rings_of_blocks() -> None:
    """The shortest ring is given without its two ends, and none where two calls of one block lead nowhere."""
    texts = {
        "a": "block: a\nexits: [ok]\nsteps:\n  x: {follow: b 1}\n  y: {follow: c 1, then: ok}\n",
        "b": "block: b\nexits: [ok]\nsteps:\n  x: {follow: c 1}\n  y: {follow: c 1, then: ok}\n",
        "c": "block: c\nexits: [ok]\nsteps: {x: {follow: a 1, then: ok}}\n",
    }
    blocks = {name: block(text) for name, text in texts.items()}
    assert ("b", "c") == ring_through("b", "a", blocks)
    assert ("c",) == ring_through("c", "a", blocks)
    assert None is ring_through("c", "lost", blocks)


def test_rings_of_steps_that_are_spent() -> None:
    """Steps whose tries are used up and that hand over to one another form a ring; one that leads into it is no part of it."""
    steps = """steps:
  a: {tries: 1, do: wait 1 s, ways: {done: well, spent: b}}
  b: {tries: 1, do: wait 2 s, ways: {done: well, spent: c}}
  c: {tries: 1, do: wait 3 s, ways: {done: well, spent: b}}
  d: {tries: 1, do: wait 4 s, ways: {done: well, spent: c}}
"""
    assert [["b", "c"]] == [[node.name for node in ring] for ring in study(steps + ENDS).spent_rings]


@pytest.mark.parametrize(
    ("rest", "expected"),
    [
        ("fails: well", ["learn-it"]),
        ("fails: again", []),
        ("fails: learn-it", []),
        ("fails: tested", []),
        ("fails: same", []),
    ],
)
def test_false_success(rest: str, expected: list[str]) -> None:
    """A write that failed and ends in success is found unless it is done or tested again on the way."""
    steps = f"""steps:
  learn-it: {{do: learn N1, then: well, {rest}}}
fallbacks:
  again: {{do: wait 1 s, then: learn-it}}
  tested: {{do: test-functions N1, then: well, fails: same}}
"""
    assert expected == [each.node.name for each in study(steps + ENDS).false_successes]


@pytest.mark.parametrize(("way", "expected"), [("then: a", []), ("then: well, fails: a", [("b", "a")])])
def test_endless_retry(way: str, expected: list[tuple[str, ...]]) -> None:
    """A loop through a failure is told from the step that fails; one that no failure begins is no retry."""
    known = study("steps:\n  a: {do: wait 1 s}\n  b: {do: look hood, " + way + "}" + ENDS)
    assert 1 == len(loops(unbounded(known.graph)))
    assert expected == [each.names for each in known.endless_retries]


def test_table_has_no_tree() -> None:
    """A table is read as one, and its place is that of its file."""
    found = study_file("facts/a.csv", b"make,cap\nCorvane,4\n", "facts", standard(), on=ON)
    assert found.table is not None
    assert ("facts/a.csv", "facts/a.csv", None, True) == (found.file, found.at.file, found.document, found.is_sound)
