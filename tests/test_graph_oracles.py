"""The analyses of step graphs agree with another library, and keep their verdict where nothing that matters changed.

The properties are metamorphic relations (T. Y. Chen, S. C. Cheung, S. M. Yiu 1998), checked on random procedures
(K. Claessen, J. Hughes, "QuickCheck", 2000); both sources from memory.
"""

import json
import random
import re
from collections import Counter
from collections.abc import Callable
from copy import deepcopy
from typing import TypeAlias

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proclint import rules
from proclint.analysis import Edge, Limits, Node, Shelf, StepGraph, build_graph, dominators, loops
from proclint.analysis.file_study import study_file
from proclint.catalogue import standard
from proclint.rule import rules_in
from proclint.source import Place
from proclint.testing import ON, check

HERE = Place.of_file("random.yaml")
SEED = 20260601


def random_graph(chance: random.Random) -> tuple[int, list[tuple[int, int]]]:
    """Draw 1 to 30 nodes and one to three edges a node, some of them self-loops; node 0 is the first."""
    count = chance.randint(1, 30)
    pairs = {(chance.randrange(count), chance.randrange(count)) for _ in range(chance.randint(count, 3 * count))}
    return count, sorted(pairs)


def step_graph(count: int, pairs: list[tuple[int, int]]) -> StepGraph:
    """Make a step graph of numbered nodes."""
    edges = tuple(Edge(source, target, "done", HERE, is_failing=False) for source, target in pairs)
    leaving = tuple(tuple(edge for edge in edges if edge.source == index) for index in range(count))
    return StepGraph(tuple(Node(index, str(index), HERE, ()) for index in range(count)), edges, leaving)


@pytest.mark.parametrize("number", [100, pytest.param(10_000, marks=pytest.mark.long)])
def test_rustworkx_agrees(number: int) -> None:
    """On random graphs rustworkx finds the same dominators, the same loops and the same nodes reached."""
    rustworkx = pytest.importorskip("rustworkx")
    chance = random.Random(SEED)
    seen: Counter[str] = Counter()
    for _ in range(number):
        count, pairs = random_graph(chance)
        ours, theirs = step_graph(count, pairs), rustworkx.PyDiGraph()
        theirs.add_nodes_from(range(count))
        theirs.add_edges_from_no_data(pairs)
        assert {0, *rustworkx.descendants(theirs, 0)} == ours.reached, pairs
        by = {node: above for node, above in rustworkx.immediate_dominators(theirs, 0).items() if node != 0}
        assert by == dominators(ours), pairs
        whole = {frozenset(nodes) for nodes in rustworkx.strongly_connected_components(theirs)}
        found = {frozenset(loop.nodes) for loop in loops(ours.edges)}
        assert {nodes for nodes in whole if len(nodes) > 1 or (min(nodes), min(nodes)) in pairs} == found, pairs
        seen.update(
            graphs=1, nodes=count, edges=len(pairs), dominators=len(by), loops=len(found), unreached=count - len(ours.reached)
        )
    print(dict(seen))
    assert number == seen["graphs"]
    assert min(seen["dominators"], seen["loops"], seen["unreached"]) > 0


Steps: TypeAlias = dict[str, dict[str, str]]
ENDS = {
    "end-good": {"kind": "success", "tell": "It works."},
    "end-same": {"kind": "as-found", "tell": "Nothing was changed."},
}
RULES = rules_in(rules)
NAME = re.compile(r"\b(?:step|end)-[a-z]+\b")


@st.composite
def procedures(draw: st.DrawFn) -> Steps:
    """Draw two to eight steps whose ways lead to random steps and endings; the last of them goes on to somewhere."""
    names = [f"step-{letter}" for letter in "abcdefgh"[: draw(st.integers(2, 8))]]
    targets = st.sampled_from([*names, *ENDS])
    steps = {}
    for name in names:
        step = {"do": draw(st.sampled_from(["look hood", "open-session", "learn N1", "wait 10 s"]))}
        if name == names[-1] or draw(st.booleans()):
            step["then"] = draw(targets)
        if step["do"] in ("open-session", "learn N1") or draw(st.booleans()):
            step["fails"] = draw(targets)
        if draw(st.integers(0, 3)) == 0:
            step["tries"] = "2"
        steps[name] = step
    return steps


def text_of(steps: Steps, fallbacks: Steps | None = None) -> str:
    """Write a procedure of these steps (JSON is YAML too)."""
    head = {
        "format": "1",
        "id": "drawn",
        "title": "A drawn procedure",
        "task": "add-key",
        "method": "tool",
        "learning": "add",
        "version": "1",
        "stage": "bench-proven",
        "written": {"by": "m-07", "date": "2026-03-02"},
        "reviewed": {"by": "m-02", "date": "2026-03-11"},
        "sources": ["drawn-handbook"],
        "vehicles": [
            {"make": "Corvane", "model": "Halyard", "years": "2013-2017", "markets": ["region-1"], "ignition-kind": "keyed"}
        ],
        "keys": {
            "O": {"kind": "key", "registered": "true", "here": "1"},
            "N": {"kind": "key", "registered": "false", "here": "1"},
        },
        "start": {"ignition": "off", "cylinder": "O1"},
        "steps": steps,
        "endings": ENDS,
    }
    return json.dumps(head | ({"fallbacks": fallbacks} if fallbacks else {}))


def verdict(text: str, say: Callable[[str], str] = str) -> Counter[tuple[str, ...]]:
    """Give all results of a check as texts, names said in another way if asked."""
    report = check({"drawn.yaml": text}, RULES)
    assert not report.own_faults
    assert not report.not_checked
    found: Counter[tuple[str, ...]] = Counter()
    for each in report.results:
        result = each.result
        stops = " ".join(f"{stop.step}:{stop.outcome}" for stop in result.trace)
        where = ".".join(map(str, result.at.path))
        said = (result.message, result.change, result.why, result.subject, where, stops)
        found[each.rule.id, each.level, *map(say, said)] += 1
    return found


def reached(text: str) -> set[str]:
    """Give the names of the steps and endings to which some way leads."""
    flow = study_file("drawn.yaml", text.encode(), "steps", standard(), on=ON).flow
    assert flow is not None
    graph = build_graph(flow, Shelf({}, standard()), most_nodes=Limits().nodes)
    return {graph.nodes[index].name for index in graph.reached}


@settings(max_examples=60)
@given(procedures(), st.permutations([f"step-{letter}" for letter in "qrstuvwx"]))
def test_renaming_changes_no_verdict(steps: Steps, names: list[str]) -> None:
    """Other names for the steps give the same results with those names in them."""
    new = dict(zip(steps, names, strict=False))
    again = {new[name]: {field: new.get(text, text) for field, text in step.items()} for name, step in steps.items()}
    say = lambda text: NAME.sub(lambda found: new.get(found[0], found[0]), text)  # noqa: E731
    assert verdict(text_of(steps), say) == verdict(text_of(again))


@settings(max_examples=60)
@given(procedures(), st.data())
def test_order_of_fields_changes_no_verdict(steps: Steps, data: st.DataObject) -> None:
    """The fields of a step may stand in any order."""
    again = {name: dict(data.draw(st.permutations(list(step.items())))) for name, step in steps.items()}
    assert verdict(text_of(steps)) == verdict(text_of(again))


@settings(max_examples=60)
@given(procedures(), st.data())
def test_unreachable_step_is_one_result(steps: Steps, data: st.DataObject) -> None:
    """A fallback that nobody is sent to, and that leads to what is reached already, adds one result and takes none away."""
    before = text_of(steps)
    target = data.draw(st.sampled_from(sorted(reached(before))))
    after = verdict(text_of(steps, {"step-new": {"do": "look hood", "then": target}}))
    assert verdict(before) <= after
    (added,) = (after - verdict(before)).elements()
    assert ("unreachable-step", "Nobody is ever sent to 'step-new'.") == (added[0], added[2])


@settings(max_examples=60)
@given(procedures(), st.data())
def test_further_way_makes_nothing_unreachable(steps: Steps, data: st.DataObject) -> None:
    """A way for one more outcome leaves every step reached that was reached before."""
    silent = [name for name, step in steps.items() if "fails" not in step]
    assume(silent)
    again = deepcopy(steps)
    again[data.draw(st.sampled_from(silent))]["fails"] = data.draw(st.sampled_from([*steps, *ENDS]))
    assert reached(text_of(steps)) <= reached(text_of(again))


def test_drawn_procedures_are_not_all_clean() -> None:
    """What is drawn can be reported: a loop through a failure without end and a step to which nothing leads."""
    looped = {
        "step-a": {"do": "learn N1", "then": "end-good", "fails": "step-a"},
        "step-b": {"do": "look hood", "then": "end-same"},
    }
    assert {"retry-without-limit", "unreachable-step"} <= {each[0] for each in verdict(text_of(looped))}
