"""Loops, dominators and cuts agree with published examples."""

from proclint.analysis import Edge, Node, StepGraph, covers, dominators, loops
from proclint.source import Place

HERE = Place.of_file("drawn.yaml")


def drawn(text: str) -> tuple[StepGraph, list[str]]:
    """Draw `a>b,c b>c` as a graph whose first node is the first one named."""
    pairs = [(source, target) for part in text.split() for source, _, to in [part.partition(">")] for target in to.split(",")]
    names = list(dict.fromkeys(name for pair in pairs for name in pair))
    edges = tuple(Edge(names.index(a), names.index(b), "done", HERE, is_failing=False) for a, b in pairs)
    leaving = tuple(tuple(edge for edge in edges if edge.source == index) for index in range(len(names)))
    nodes = tuple(Node(index, name, HERE, ()) for index, name in enumerate(names))
    return StepGraph(nodes, edges, is_cut_short=False, leaving=leaving), names


def test_dominators_of_lengauer_and_tarjan() -> None:
    """Lengauer and Tarjan, ACM TOPLAS 1(1), 1979, the example graph and its dominator tree."""
    graph, names = drawn("R>A,B,C A>D B>A,D,E C>F,G D>L E>H F>I G>I,J H>E,K I>K J>I K>I,R L>H")
    expected = {**dict.fromkeys("ABCDEHIK", "R"), "F": "C", "G": "C", "J": "G", "L": "D"}
    assert expected == {names[node]: names[by] for node, by in dominators(graph).items()}


def test_loops_of_a_textbook_graph() -> None:
    """Cormen et al., Introduction to Algorithms, 3rd ed., figure 22.9: four components, h a loop by itself."""
    graph, names = drawn("a>b b>c,e,f c>d,g d>c,h e>a,f f>g g>f,h h>h")
    found = {frozenset(names[node] for node in loop.nodes) for loop in loops(graph.edges)}
    assert {frozenset("abe"), frozenset("cd"), frozenset("fg"), frozenset("h")} == found


def test_two_branches_share_a_cut() -> None:
    """A set covers a node where no way is left without it; the graph is the first in networkx's page on dominance."""
    graph, names = drawn("1>2,3 2>5 3>4 4>5")
    sets = {"2": False, "3": False, "4": False, "34": False, "23": True, "24": True, "1": True}
    for cut, expected in sets.items():
        assert expected == covers(graph, frozenset(map(names.index, cut)), names.index("5"))
