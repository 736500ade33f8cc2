"""The order in which parts are passed, against networkx: what loops together stands together, behind all that leads to it."""

import random

import networkx as nx
import pytest

from proclint.analysis.states.onward import onward

SEED = 20261129


@pytest.mark.parametrize("graphs", [200, pytest.param(20_000, marks=pytest.mark.long)])
def test_what_loops_together_stands_together(graphs: int) -> None:
    """Groups are networkx's strong components, and no edge leads from a later group to an earlier one."""
    chance, looped = random.Random(SEED), 0
    for _ in range(graphs):
        size = chance.randint(1, 12)
        leading: list[list[int]] = [[] for _ in range(size)]
        for node in range(1, size):
            leading[chance.randrange(node)].append(node)
        for _ in range(chance.randint(0, size)):
            leading[chance.randrange(size)].append(chance.randrange(size))
        graph: nx.DiGraph[int] = nx.DiGraph()
        graph.add_nodes_from(range(size))
        graph.add_edges_from((at, target) for at, targets in enumerate(leading) for target in targets)
        keys = onward(leading)
        groups: dict[int, set[int]] = {}
        for node, (group, _) in enumerate(keys):
            groups.setdefault(group, set()).add(node)
        expected = [set(each) for each in nx.strongly_connected_components(graph)]
        assert sorted(groups.values(), key=min) == sorted(expected, key=min)
        assert all(keys[at][0] <= keys[target][0] for at, target in graph.edges)
        looped += any(len(each) > 1 for each in expected)
    assert looped > graphs // 4


def test_a_loop_is_passed_before_what_follows_it() -> None:
    """By hand: 0 leads to 1, 1 and 2 lead to one another, both lead to 3; whatever stands first among what 1 leads to."""
    for first, second in ((2, 3), (3, 2)):
        keys = onward([[1], [first, second], [3, 1], []])
        assert sorted(range(4), key=keys.__getitem__) == [0, 1, 2, 3]


def test_what_nothing_leads_to_is_in_no_group() -> None:
    """A part that no way leads to is never passed, wherever it stands."""
    assert onward([[], []])[1] == (0, 0)
