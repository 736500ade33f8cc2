"""What can happen in two versions: endings reached, rounds without an end, writes and endings without a guard before them."""

from collections.abc import Callable, Iterator

from proclint.analysis import Node, StepGraph, loops, unbounded
from proclint.catalogue import Catalogue
from proclint.compare import said
from proclint.compare.difference import Difference, Weight, What
from proclint.compare.guards import guards
from proclint.compare.pair import Pair, Places
from proclint.model import Line


def of_course(pair: Pair) -> Iterator[Difference]:
    """Tell what becomes possible or impossible."""
    graphs = pair.old.graph, pair.new.graph
    if is_whole(pair):
        yield from _endings(*graphs)
        yield from _rounds(*graphs)
        yield from _unproved(*graphs)
        yield from _unguarded(pair, *graphs)


def is_whole(pair: Pair) -> bool:
    """Whether both graphs were laid out in full; of one that was cut, nothing is told here."""
    return not pair.old.graph.cut_at and not pair.new.graph.cut_at


def _places(name: str, old: StepGraph, new: StepGraph) -> Places:
    one, other = old.own(name), new.own(name)
    return (one.at if one is not None else None, other.at if other is not None else None)


def _endings(old: StepGraph, new: StepGraph) -> Iterator[Difference]:
    reached = [{node.name for node in graph.nodes if _is_own_end(node) and node.index in graph.reached} for graph in (old, new)]
    for node in filter(_is_own_end, new.nodes):
        if old.own(node.name) is not None and (node.name in reached[0]) != (node.name in reached[1]):
            is_gone = node.name in reached[0]
            text = f"The {'ending' if node.end is not None and node.end.kind else 'exit'} '{node.name}' can "
            weight = Weight.LESS if is_gone else Weight.MORE
            text += "no longer be reached." if is_gone else "now be reached."
            yield Difference(What.ENDING, weight, *_places(node.name, old, new), text)


def _is_own_end(node: Node) -> bool:
    return node.end is not None and node.is_own


def _rounds(old: StepGraph, new: StepGraph) -> Iterator[Difference]:
    found = [_without_end(graph) for graph in (old, new)]
    inside = [{name for names in each for name in names} for each in found]
    for rounds, other, is_new in ((found[1], inside[0], True), (found[0], inside[1], False)):
        for names in rounds:
            if not other.issuperset(names):
                weight = Weight.MORE if is_new else Weight.LESS
                text = f"{said.names(names)} can {'now' if is_new else 'no longer'} go round and round: no number ends it."
                yield Difference(What.LOOP, weight, *_places(names[0], old, new), text)


def _without_end(graph: StepGraph) -> list[tuple[str, ...]]:
    """Give the file's own steps in each loop that no number ends."""
    found = loops(unbounded(graph))
    own = (tuple(graph.nodes[index].name for index in loop.nodes if graph.nodes[index].is_own) for loop in found)
    return [names for names in own if names]


def _unproved(old: StepGraph, new: StepGraph) -> Iterator[Difference]:
    bare = [_written_and_not_tried(graph) for graph in (old, new)]
    for name in (node.name for node in new.nodes if _is_success(node)):
        known = old.own(name)
        if known is not None and _is_success(known) and (name in bare[0]) != (name in bare[1]):
            is_lost = name in bare[1]
            text = f"'{name}' can {'now' if is_lost else 'no longer'} be reached with no key having worked after the last write."
            weight = Weight.LOST if is_lost else Weight.GAINED
            yield Difference(What.PROOF, weight, *_places(name, old, new), text)


def _written_and_not_tried(graph: StepGraph) -> frozenset[str]:
    """Give the successes that some way reaches on which no key was tried since something was written."""
    seen: set[tuple[int, bool]] = set()
    waiting = [(0, False)]
    for index, is_bare in waiting:
        if (index, is_bare) not in seen:
            seen.add((index, is_bare))
            failed, done = _after(graph.nodes[index], is_bare=is_bare)
            waiting += [(edge.target, failed if edge.is_failing else done) for edge in graph.leaving[index]]
    return frozenset(graph.nodes[index].name for index, is_bare in seen if is_bare and _is_success(graph.nodes[index]))


def _after(node: Node, *, is_bare: bool) -> tuple[bool, bool]:
    """Say whether something is written and not tried after a node: where it failed, and where it was done."""
    failed = done = is_bare
    for line in _lines(node):
        if line.action.writes:
            failed = done = True
        elif line.action.proves:
            done = False
    return failed, done


def _is_success(node: Node) -> bool:
    return _is_own_end(node) and node.end is not None and node.end.kind == "success"


def _unguarded(pair: Pair, old: StepGraph, new: StepGraph) -> Iterator[Difference]:
    """Tell which writes can be come to without a guard that was before all of them in the other version."""
    verbs = [_verbs(graph, pair.catalogue) for graph in (old, new)]
    for verb in sorted(verbs[0] | verbs[1]):
        bare = [_bare_writes(graph, verb) for graph in (old, new)]
        for is_lost, names in ((True, bare[1]), (False, bare[0])):
            before, there = (bare[0], verbs[0]) if is_lost else (bare[1], verbs[1])
            first = next((name for name in names if name not in before), "")
            if verb in there and not before and first:
                text = f"'{first}' can {'now' if is_lost else 'no longer'} be reached without '{verb}' done before."
                weight = Weight.LOST if is_lost else Weight.GAINED
                yield Difference(What.GUARD, weight, *_places(first, old, new), text)


def _verbs(graph: StepGraph, catalogue: Catalogue) -> frozenset[str]:
    lines = (line for index in graph.reached for line in _lines(graph.nodes[index]))
    return frozenset(line.verb for line in lines if guards(line, catalogue) and not line.action.proves)


def _bare_writes(graph: StepGraph, verb: str) -> tuple[str, ...]:
    """Give the file's own steps that write, or whose blocks do, and that some way reaches without a verb having been done."""
    reached = _without(graph, lambda line: line.verb == verb)
    nodes = (graph.nodes[index] for index in sorted(reached))
    writing = (node for node in nodes if _writes_unless(node, verb))
    return tuple(dict.fromkeys(node.calls[0] if node.calls else node.name for node in writing))


def _writes_unless(node: Node, verb: str) -> bool:
    """Whether a node writes before it does a verb itself."""
    for line in _lines(node):
        if line.verb == verb:
            return False
        if line.action.writes:
            return True
    return False


def _lines(node: Node) -> tuple[Line, ...]:
    return node.step.lines if node.step is not None else ()


def _without(graph: StepGraph, guarding: Callable[[Line], bool]) -> frozenset[int]:
    """Give the nodes that some way reaches on which no such line has succeeded."""
    seen: set[int] = set()
    waiting = [0]
    for index in waiting:
        if index not in seen:
            seen.add(index)
            stops = any(map(guarding, _lines(graph.nodes[index])))
            waiting += [edge.target for edge in graph.leaving[index] if edge.is_failing or not stops]
    return frozenset(seen)
