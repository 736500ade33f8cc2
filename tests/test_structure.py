"""Reachability, loops, dominators and cuts agree with published examples.

Graphs are drawn as `a>b,c b>c`; the first node named is where every way begins. Examples that only a copy of their
source was read for say so.
"""

from collections.abc import Mapping

import networkx
import pytest

from proclint.analysis import Edge, Loop, Node, StepGraph, covers, dominators, loops, post_dominators
from proclint.analysis.dead_ends import cut_off, traps
from proclint.model import End
from proclint.source import Place

HERE = Place.of_file("drawn.yaml")


def drawn(text: str, *, ends: str = "") -> tuple[StepGraph, list[str]]:
    """Draw `a>b,c b>c` as a graph whose first node is the first one named; `ends` names its endings."""
    pairs = [(source, target) for part in text.split() for source, _, to in [part.partition(">")] for target in to.split(",")]
    names = list(dict.fromkeys(name for pair in pairs for name in pair))
    edges = tuple(Edge(names.index(a), names.index(b), "done", HERE, is_failing=False) for a, b in pairs)
    leaving = tuple(tuple(edge for edge in edges if edge.source == index) for index in range(len(names)))
    stop = {name: End(name, HERE, "success", "", 0, "") for name in ends.split()}
    nodes = tuple(Node(index, name, HERE, (), end=stop.get(name)) for index, name in enumerate(names))
    return StepGraph(nodes, edges, leaving), names


def in_names(found: Mapping[int, int], names: list[str]) -> dict[str, str]:
    """Say a tree of dominators by names."""
    return {names[node]: names[by] for node, by in found.items()}


def frontiers(graph: StepGraph, names: list[str]) -> dict[str, str]:
    """Work out the dominance frontiers that follow from the tree; names have one sign each and stand in order."""
    by = dominators(graph)
    found: dict[str, set[str]] = {name: set() for name in names}
    for edge in graph.edges:
        at = edge.source
        while at != by.get(edge.target, -1):
            found[names[at]].add(names[edge.target])
            at = by.get(at, -1)
    return {name: "".join(sorted(each)) for name, each in found.items()}


def back_edges(graph: StepGraph, names: list[str]) -> set[str]:
    """Give the edges whose target dominates their source (Hecht and Ullman 1974)."""
    by = dominators(graph)
    found = set()
    for edge in graph.edges:
        at = edge.source
        while at not in (edge.target, -1):
            at = by.get(at, -1)
        if at == edge.target:
            found.add(f"{names[edge.source]}>{names[edge.target]}")
    return found


def limit_size(graph: StepGraph) -> int:
    """Shrink a graph by T1 (drop self-loops) and T2 (merge a node into its only predecessor); give how many nodes stay."""
    into = {node.index: {edge.source for edge in graph.arriving[node.index]} - {node.index} for node in graph.nodes}
    while single := next((node for node, sources in into.items() if node != 0 and len(sources) == 1), None):
        (kept,) = into.pop(single)
        into = {node: {kept if each == single else each for each in sources} - {node} for node, sources in into.items()}
    return len(into)


# Lengauer and Tarjan, ACM TOPLAS 1(1), 1979, figure 1, and Cooper, Harvey and Kennedy, "A simple, fast dominance
# algorithm", 2001, figures 2 and 4: read in copies. The others are examples of networkx's page and tests on dominance.
LENGAUER_TARJAN = "R>A,B,C A>D B>A,D,E C>F,G D>L E>H F>I G>I,J H>E,K I>K J>I K>I,R L>H"
FIGURE_2 = "5>3,4 1>2 2>1 3>2 4>1"
FIGURE_4 = "6>4,5 1>2 2>1,3 3>2 4>2,3 5>1"
NETWORKX_PAGE = "1>2,3 2>5 3>4 4>5"
NESTED = "e>x,1 1>2 2>3 3>4 4>5,4 5>6,3 6>x,2"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param(LENGAUER_TARJAN, "A:R B:R C:R D:R E:R H:R I:R K:R F:C G:C J:G L:D", id="lengauer-tarjan"),
        pytest.param(FIGURE_2, "1:5 2:5 3:5 4:5", id="cooper-figure-2"),
        pytest.param(FIGURE_4, "1:6 2:6 3:6 4:6 5:6", id="cooper-figure-4"),
        pytest.param(NETWORKX_PAGE, "2:1 3:1 4:3 5:1", id="networkx-page"),
        pytest.param("1>2 2>3,4,6 3>5 4>5 5>2", "2:1 3:2 4:2 5:2 6:2", id="loop-with-branches"),
        pytest.param("0>1 1>2,3 2>7 3>4 4>5,6 5>7 6>4", "1:0 2:1 3:1 4:3 5:4 6:4 7:1", id="loop-behind-a-fork"),
        pytest.param("0>1 1>2,5 2>3 3>1,4 5>6,8 6>7 8>7 7>3", "1:0 2:1 3:1 4:3 5:1 6:5 7:5 8:5", id="two-joins"),
        pytest.param(NESTED, "1:e 2:1 3:2 4:3 5:4 6:5 x:e", id="nested-loops"),
        pytest.param("1>2 2>3 3>4 0>1", "2:1 3:2 4:3", id="unreachable-left-out"),
        pytest.param("1>2,3 2>3 3>2", "2:1 3:1", id="hecht-ullman-pattern"),
    ],
)
def test_dominators(text: str, expected: str) -> None:
    """Every reachable node but the first has the immediate dominator that was published for it."""
    graph, names = drawn(text)
    assert dict(each.split(":") for each in expected.split()) == in_names(dominators(graph), names)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param(FIGURE_2, "1:2 2:1 3:2 4:1 5:", id="cooper-figure-2"),
        pytest.param(FIGURE_4, "1:2 2:13 3:2 4:23 5:1 6:", id="cooper-figure-4"),
        pytest.param(NETWORKX_PAGE, "1: 2:5 3:5 4:5 5:", id="networkx-page"),
        pytest.param("0>1 1>2,5 2>3 3>1,4 5>6,8 6>7 8>7 7>3", "0: 1:1 2:3 3:1 4: 5:3 6:7 7:3 8:7", id="two-joins"),
        pytest.param(NESTED, "e: 1:x 2:2x 3:23x 4:234x 5:23x 6:2x x:", id="nested-loops"),
    ],
)
def test_dominance_frontiers(text: str, expected: str) -> None:
    """The frontiers that follow from our tree are the published ones (networkx's tests on dominance)."""
    graph, names = drawn(text)
    assert dict(each.split(":") for each in expected.split()) == frontiers(graph, names)


@pytest.mark.parametrize(
    ("text", "end", "expected"),
    [
        pytest.param("1>2 2>3,4 3>5 4>5 5>6", "6", "5:6 4:5 3:5 2:5 1:2", id="networkx-page"),
        pytest.param("1>2 2>3,4,6 3>5 4>5 5>2", "6", "1:2 2:6 3:5 4:5 5:2", id="loop-with-branches"),
        pytest.param("0>1 1>2,3 2>7 3>4 4>5,6 5>7 6>4", "7", "0:1 1:7 2:7 3:4 4:5 5:7 6:4", id="loop-behind-a-fork"),
    ],
)
def test_post_dominators(text: str, end: str, expected: str) -> None:
    """With one ending, the nearest node that every way on passes is the published one (networkx's page and tests)."""
    graph, names = drawn(text, ends=end)
    found = post_dominators(graph)
    assert -1 == found[names.index(end)]
    rest = {node: by for node, by in found.items() if node != names.index(end)}
    assert dict(each.split(":") for each in expected.split()) == in_names(rest, names)


# DOM by Hecht and Ullman: "Flow graph reducibility", STOC 1972, and "Characterizations of reducible flow graphs",
# JACM 21(3), 1974. Back edges and limits of these graphs are worked out from the definitions there.
@pytest.mark.parametrize(
    ("text", "backward", "is_reducible"),
    [
        pytest.param(LENGAUER_TARJAN, "K>R", False, id="lengauer-tarjan"),
        pytest.param(FIGURE_2, "", False, id="cooper-figure-2"),
        pytest.param(FIGURE_4, "", False, id="cooper-figure-4"),
        pytest.param("1>2 2>3,4,6 3>5 4>5 5>2", "5>2", True, id="loop-with-branches"),
        pytest.param("0>1 1>2,3 2>7 3>4 4>5,6 5>7 6>4", "6>4", True, id="loop-behind-a-fork"),
        pytest.param(NESTED, "6>2 5>3 4>4", True, id="nested-loops"),
        pytest.param("1>2,3 2>3 3>2", "", False, id="forbidden-pattern"),
    ],
)
def test_reducibility(text: str, backward: str, *, is_reducible: bool) -> None:
    """A graph shrinks to one node exactly where no loop is left without its back edges."""
    graph, names = drawn(text)
    found = back_edges(graph, names)
    rest = [edge for edge in graph.edges if f"{names[edge.source]}>{names[edge.target]}" not in found]
    assert set(backward.split()) == found
    assert is_reducible == (limit_size(graph) == 1)
    assert is_reducible == (loops(rest) == ())


def test_loop_with_two_entries() -> None:
    """The two nodes of the forbidden pattern form one loop, which can be entered at either of them (Hecht and Ullman 1972)."""
    graph, names = drawn("1>2,3 2>3 3>2")
    (loop,) = loops(graph.edges)
    assert ["2", "3"] == [names[node] for node in loop.nodes]
    assert ["2", "3"] == [names[node] for node in loop.entries]


def test_lengauer_and_tarjan_is_one_loop() -> None:
    """All thirteen nodes of the example lead to one another, and it is entered where every way begins."""
    graph, _ = drawn(LENGAUER_TARJAN)
    (loop,) = loops(graph.edges)
    assert (13, (0,), ()) == (len(loop.nodes), loop.entries, loop.exits)


def spelled(found: tuple[Loop, ...], names: list[str]) -> set[str]:
    """Give the nodes of each loop as sorted names."""
    return {" ".join(sorted((names[node] for node in loop.nodes), key=lambda name: (len(name), name))) for loop in found}


# Components of one node are no loops unless the node leads to itself.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Cormen et al., Introduction to Algorithms, 3rd ed., figure 22.9: read in a copy.
        pytest.param("a>b b>c,e,f c>d,g d>c,h e>a,f f>g g>f,h h>h", {"a b e", "c d", "f g", "h"}, id="cormen-figure-22.9"),
        # The next four are graphs of networkx's tests on strong components; Eppstein's are named so there.
        pytest.param("1>2 2>3,8 3>4,7 4>5 5>3,6 7>4,6 8>1,7", {"3 4 5 7", "1 2 8"}, id="networkx-1"),
        pytest.param("0>1 1>2,3,4 2>0,3 3>4 4>3", {"0 1 2", "3 4"}, id="eppstein-1"),
        pytest.param("0>1 1>2,3 2>4,5 3>4,5 4>6", set(), id="eppstein-2"),
        pytest.param(
            "1>2 2>3,11,12 3>4 4>3,5 5>6 6>5,7 7>8,9,10 8>9 9>7 10>6 11>2,4,6 12>6,11",
            {"2 11 12", "3 4", "5 6 7 8 9 10"},
            id="networkx-2",
        ),
        # networkx's tests on cycles: five simple cycles, one component.
        pytest.param("0>0,1,2 1>2 2>0,1,2", {"0 1 2"}, id="five-cycles"),
    ],
)
def test_loops(text: str, expected: set[str]) -> None:
    """The loops are the published components that have an edge inside."""
    graph, names = drawn(text)
    assert expected == spelled(loops(graph.edges), names)


def johnson(k: int) -> list[tuple[int, int]]:
    """Draw Johnson's family of graphs, "Finding all the elementary circuits of a directed graph", 1975, figure 1."""
    pairs = [(2 * k + 1, 1), (2 * k + 3, k + 2), (3 * k + 3, 2 * k + 2)]
    for n in range(2, k + 2):
        pairs += [(1, n), (n, k + 2)]
    for n in range(k + 2, 2 * k + 2):
        pairs += [(n, 2 * k + 2), (n, n + 1)]
    for n in range(2 * k + 3, 3 * k + 3):
        pairs += [(2 * k + 2, n), (n, 3 * k + 3)]
    return pairs


def edges_of(pairs: list[tuple[int, int]]) -> list[Edge]:
    """Make plain edges of pairs."""
    return [Edge(source, target, "done", HERE, is_failing=False) for source, target in pairs]


@pytest.mark.parametrize("k", range(3, 10))
def test_cycles_of_one_loop_are_told_once(k: int) -> None:
    """Johnson's graph for k has exactly 3k simple cycles, and all of them are one loop."""
    assert 3 * k == sum(1 for _ in networkx.simple_cycles(networkx.DiGraph(johnson(k))))
    (loop,) = loops(edges_of(johnson(k)), start=1)
    assert (tuple(range(1, 3 * k + 4)), (1,)) == (loop.nodes, loop.entries)


def test_two_branches_share_a_cut() -> None:
    """A set covers a node where no way is left without it; the graph is the first in networkx's page on dominance."""
    graph, names = drawn(NETWORKX_PAGE)
    sets = {"2": False, "3": False, "4": False, "34": False, "23": True, "24": True, "1": True}
    for cut, expected in sets.items():
        assert expected == covers(graph, frozenset(map(names.index, cut)), names.index("5"))


# Soundness of workflow nets: van der Aalst, "Verification of workflow nets", 1997, definition 7 (the definition was
# read in copies). A net whose transitions have one place before and one behind is a graph of places, and then sound
# means: every place is reached, and from each an end is. Of the seven nets that the verdicts were worked out for, four
# have parallel branches (a transition with two places on a side) that no procedure has: both AND-splits, the AND-join
# behind a choice, and the net that is merely dead. The livelock is one too, but for its transition that can never fire.
@pytest.mark.parametrize(
    ("text", "lost", "stuck"),
    [
        pytest.param("i>p p>o", [], [], id="sequence"),
        pytest.param("i>p p>q q>p,o", [], [], id="loop-with-retry"),
        pytest.param("i>p p>o,x x>y y>x", [], ["x"], id="livelock"),
        pytest.param("i>p p>o d>o", ["d"], [], id="never-entered"),
    ],
)
def test_soundness_of_state_machines(text: str, lost: list[str], stuck: list[str]) -> None:
    """A net is sound exactly where nothing is cut off and nothing is a trap."""
    graph, names = drawn(text, ends="o")
    assert lost == [each.head.name for each in cut_off(graph)]
    assert stuck == [each.entry.name for each in traps(graph)]
    every = frozenset(range(len(names)))
    assert (not lost and not stuck) == (every == graph.reached == graph.finishing)
