"""Numbers that were read before a whole list was erased, and are reckoned with behind the erase."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.conditions import Atom, read_condition
from proclint.analysis.graph import Edge, Node, StepGraph
from proclint.analysis.outline import Outline, spread
from proclint.analysis.shelf import Shelf
from proclint.catalogue import Catalogue
from proclint.model import Block, Flow, Line, Step


class OldCount(NamedTuple):
    """A way out of a step that reckons with a number `name` from before an erase; `way` leads through both."""

    name: str
    asks: Edge
    erase: Line
    way: tuple[Edge, ...]


def may_reckon(outline: Outline) -> bool:
    """Whether some way leads from where a number is read through an erase to where it is reckoned with, blocks not laid out."""
    flow, shelf = outline.written.flow, outline.shelf
    read: dict[tuple[str, str], list[str]] = {}
    for step in flow.steps.values():
        for counted in _reads(step):
            read.setdefault(counted, []).append(step.name)
    erasing = dict(_erasing(flow, shelf)) if read else {}
    if not erasing:
        return False
    following = outline.following
    for (kind, name), at in read.items():
        erases = [each for each in spread(at, following) if kind in erasing.get(each, ())]
        # A round leads back to the step itself.
        onward = (to for each in erases for to in (each, *following.get(each, ())))
        behind = spread(onward, following, avoiding=frozenset(at))
        ways = (way for each in behind if each in flow.steps for way in flow.steps[each].ways)
        if erases and any(_reckons(way.outcome, name, shelf.catalogue) for way in ways):
            return True
    return False


def _erasing(flow: Flow, shelf: Shelf) -> Iterator[tuple[str, frozenset[str]]]:
    """Give the steps and endings that erase, by themselves or in a block, with the kinds of what they erase."""
    blocks = {name: end.through for name, end in flow.ends.items() if end.through}
    blocks |= {name: step.follow.block for name, step in flow.steps.items() if step.follow is not None}
    speaking = [name for name, step in flow.steps.items() if any("kinds" in line.words for line in step.lines)]
    for name in dict.fromkeys((*speaking, *blocks)):
        block = shelf.blocks.get(blocks.get(name, ""))
        kinds = frozenset(kind for _, kind in _erased(flow.steps.get(name), shelf.catalogue))
        if block is not None:
            kinds |= _erased_in(block, shelf)
        if kinds:
            yield name, kinds


def _erased_in(block: Block, shelf: Shelf) -> frozenset[str]:
    """Give the kinds of what a block, or one that it follows, erases; worked out once a block."""
    found = shelf.kept.get(("erased in", block.id))
    if not isinstance(found, frozenset):
        steps = (step for each in (block, *shelf.followed(block)) for step in each.steps.values())
        found = frozenset(kind for step in steps for _, kind in _erased(step, shelf.catalogue))
        shelf.kept["erased in", block.id] = found
    return found


def old_counts(graph: StepGraph, catalogue: Catalogue) -> Iterator[OldCount]:
    """Give each way of the file itself that reckons with a number from before an erase, once."""
    told = set()
    for node in graph.nodes:
        if node.index in graph.reached:
            for line, kind in _erased(node.step, catalogue):
                for name in _read_before(graph, node, kind):
                    for found in _reckoned_with(graph, node, (name, line), catalogue):
                        if (found.asks.at, name) not in told:
                            told.add((found.asks.at, name))
                            yield found


def _erased(step: Step | None, catalogue: Catalogue) -> Iterator[tuple[Line, str]]:
    """Give the lines of a step that erase all of a kind, with the kind."""
    for line in step.lines if step is not None else ():
        if line.action.writes and "kinds" in line.words:
            plurals, kinds = catalogue.kinds["kinds"].words, catalogue.kinds["kind"].words
            yield from ((line, kind) for plural, kind in zip(plurals, kinds, strict=True) if plural == line.words["kinds"])


def _read_before(graph: StepGraph, erase: Node, kind: str) -> Iterator[str]:
    """Give the names of the file's own numbers of a kind that are read on some way to an erase."""
    names = {name: None for node in graph.nodes if node.is_own for counter, name in _reads(node.step) if counter == kind}
    for name in names:
        reading = (node.index for node in graph.nodes if node.is_own and (kind, name) in _reads(node.step))
        if any(graph.way(erase.index, start=index) for index in reading if index in graph.reached):
            yield name


def _reads(step: Step | None) -> tuple[tuple[str, str], ...]:
    said = [line.words for line in step.lines] if step is not None else []
    return tuple([(words["counter"], words["name"]) for words in said if "counter" in words and "name" in words])


def _reckoned_with(graph: StepGraph, erase: Node, what: tuple[str, Line], catalogue: Catalogue) -> Iterator[OldCount]:
    """Give the ways behind an erase that was done which reckon with a number, before it is read again."""
    name, line = what
    again = frozenset(node.index for node in graph.nodes if node.is_own and name in {read for _, read in _reads(node.step)})
    for done in (edge for edge in graph.leaving[erase.index] if not edge.is_failing):
        for index in graph.search((done.target,), avoiding=again):
            for edge in graph.leaving[index] if graph.nodes[index].is_own else ():
                if _reckons(edge.outcome, name, catalogue):
                    behind = graph.way(index, start=done.target, avoiding=again) or ()
                    yield OldCount(name, edge, line, (*(graph.way(erase.index) or ()), done, *behind))


def _reckons(text: str, name: str, catalogue: Catalogue) -> bool:
    condition = read_condition(text, catalogue)
    return condition is not None and any(name in _names(atom) and not _compares(atom) for atom in condition.atoms)


def _names(atom: Atom) -> frozenset[str]:
    return atom.left.names | atom.right.names


def _compares(atom: Atom) -> bool:
    """Whether two numbers are held against each other as they are: so it is seen whether the erase was done."""
    return all(len(side.terms) == 1 and side.names for side in (atom.left, atom.right))
