"""Keys that a text leaves on one ring, and the line at which the vehicle then reads a chip.

The place of a key says whether it lies 15 cm away; which keys hang together only words can say. What follows until the keys are
laid apart is done with several chips at the cylinder.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.graph import Edge, Node, StepGraph
from proclint.analysis.passing import passed, way_to
from proclint.analysis.sentences import Stretch, parts
from proclint.analysis.texts import Said, plain
from proclint.catalogue import Catalogue
from proclint.model import Flow, Line, Procedure, Step

_NAME = re.compile(r"\b[A-Z](?:[0-9]{1,2})?\b")
# In which texts keys can be left on one ring.
_TELLING = frozenset({"instruction", "act", "means"})
_APART, _TOGETHER, _SPENT = "apart", "together", "spent"
_CHIPS = frozenset({"key", "valet", ""})


class Ring(NamedTuple):
    """Words that leave keys on one ring, from `start` to `end` of a text; `keys` are those it names, none where it names none."""

    said: Said
    start: int
    end: int
    keys: tuple[str, ...]


class ReadTogether(NamedTuple):
    """Keys on one ring, the line at which the vehicle reads one of them, and a shortest way that leads there."""

    ring: Ring
    line: Line
    node: Node
    way: tuple[Edge, ...]


def rings(texts: tuple[Said, ...], flow: Flow, catalogue: Catalogue) -> Iterator[Ring]:
    """Find the words that leave keys with a chip on one ring."""
    for said in texts:
        if said.kind in _TELLING:
            for part in parts(plain(said.text)):
                yield from _rings_in(part, said, flow, catalogue)


def _rings_in(part: Stretch, said: Said, flow: Flow, catalogue: Catalogue) -> Iterator[Ring]:
    speech, finder = catalogue.speech, catalogue.phrases
    phrase = next((each for each in speech.ring.together if finder.stands_in(each, part.text)), "")
    if not phrase or not speech.negations.isdisjoint(part.text.split()):
        return
    if any(finder.stands_in(each, part.text) for each in (*speech.ring.apart, *speech.ring.asked)):
        return
    named = tuple(dict.fromkeys(name for name in _NAME.findall(said.text[part.start : part.end]) if _is_key(name, flow)))
    chips = tuple(name for name in named if _kind(name, flow) in _CHIPS)
    is_several = len(named) < 2 and any(finder.stands_in(each, part.text) for each in speech.ring.several)
    if len(chips) > 1 or (is_several and len(chips) == len(named)):
        start = part.start + part.text.index(phrase)
        yield Ring(said, start, start + len(phrase), chips if len(chips) > 1 else ())


def _is_key(name: str, flow: Flow) -> bool:
    return name in flow.given if not isinstance(flow, Procedure) else name[0] in flow.keys


def _kind(name: str, flow: Flow) -> str:
    """Give the kind of a key of a file, nothing where it is not said."""
    return flow.keys[name[0]].kind if isinstance(flow, Procedure) and name[:1] in flow.keys else ""


def read_together(graph: StepGraph, flow: Flow, ring: Ring, catalogue: Catalogue) -> ReadTogether | None:
    """Give the nearest line that reads a chip of a ring before the keys are laid apart, if some way leads to one."""
    reading = _Reading(ring, flow, catalogue)

    def after(edge: Edge, mind: str) -> str:
        node = graph.nodes[edge.source]
        return mind if node.step is None or edge.outcome == _SPENT else reading.at(node, mind)[0]

    stages = passed(graph, _APART, after)
    for stage in stages:
        node = graph.nodes[stage.node]
        line = reading.at(node, stage.mind)[1]
        if line is not None:
            return ReadTogether(ring, line, node, way_to(stage, stages))
    return None


class _Reading(NamedTuple):
    """What the lines of a step make of keys on one ring."""

    ring: Ring
    flow: Flow
    catalogue: Catalogue

    def at(self, node: Node, mind: str) -> tuple[str, Line | None]:
        """Give how the keys are behind a step, and the first of its lines that reads a chip of them while they are together."""
        step = node.step
        if step is None:
            return mind, None
        is_here = node.is_own and self.ring.said.step is not None and step.name == self.ring.said.step.name
        if is_here and self.ring.said.line is None:
            mind = _TOGETHER
        if self._parts(step.instruction):
            mind = _APART
        found: Line | None = None
        for line in step.lines:
            if self._parts(line.words.get("text", "")) or line.verb in self.catalogue.speech.ring.parted_by:
                mind = _APART
            if is_here and line is self.ring.said.line:
                mind = _TOGETHER
            if mind == _TOGETHER and found is None and self._reads(line, node, step):
                found = line
        return mind, found

    def _parts(self, text: str) -> bool:
        """Whether a sentence of a text takes keys off a ring."""
        words, finder = self.catalogue.speech.ring, self.catalogue.phrases
        return any(
            any(finder.stands_in(each, part.text) for each in words.things)
            and any(finder.stands_in(each, part.text) for each in words.apart)
            for part in parts(plain(text))
        )

    def _reads(self, line: Line, node: Node, step: Step) -> bool:
        words = self.catalogue.speech.ring
        if line.verb not in words.read_by or not words.unless.isdisjoint(line.words.values()):
            return False
        key = line.words.get("key", "")
        if not node.is_own or not key:
            return True
        keys = step.loop.groups if step.loop is not None and step.loop.letter == key else (key.partition(".")[0],)
        keys = tuple(each for each in keys if _kind(each, self.flow) in _CHIPS)
        return any(not self.ring.keys or _meets(each, other) for each in keys for other in self.ring.keys or ("",))


def _meets(one: str, other: str) -> bool:
    """Whether two names may mean the same key: a group's letter is each key of it."""
    return one == other or (one[:1] == other[:1] and 1 in (len(one), len(other)))
