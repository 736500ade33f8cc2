"""Signs of a lamp that goes dark where, on some way, nobody has seen it lit.

Who sees the lamp dark knows that it went out only if he saw it lit before: with the key that is in now, as another key makes it
show something else. A change that names how long it lasts, or what the lamp does before or after, is seen as a whole. Whoever
follows a block may have looked before, so a block alone is taken to begin with a lamp that was seen.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal, NamedTuple, TypeAlias

from proclint.analysis.graph import Edge, Node, StepGraph
from proclint.analysis.passing import passed, way_to
from proclint.analysis.sentences import parts
from proclint.analysis.shelf import Shelf
from proclint.analysis.texts import Said, plain
from proclint.catalogue import Catalogue
from proclint.model import Block, Flow, Line, Procedure, Step
from proclint.source import Place

Change: TypeAlias = Literal["", "dark", "lit"]

# What is kept in mind on a way: the lamp was seen lit, or was not; `acted` where it may answer to what was just done besides.
_SEEN, _UNSEEN, _ACTED = "seen", "unseen", "acted"
_LOOK, _WAITS, _SPENT = "look", "wait", "spent"
# More texts than a large library has different ones.
_KEPT = 16_384


class Dark(NamedTuple):
    """A sign that hangs on the lamp's going dark: where it stands, and its words."""

    at: Place
    words: str


class Unseen(NamedTuple):
    """A sign that hangs on the lamp's going dark, and a shortest way to it on which nobody saw it lit."""

    sign: Dark
    node: Node
    way: tuple[Edge, ...]


@lru_cache(maxsize=_KEPT)
def change_of(text: str, catalogue: Catalogue) -> Change:
    """Say what the lamp does in a text that names it: it goes dark, and nothing shows but that, or it is seen lit."""
    told = {_shown(tail, catalogue) for _, tail in _around_name(text, catalogue)}
    return "lit" if "lit" in told else "dark" if "dark" in told else ""


@lru_cache(maxsize=_KEPT)
def is_watched(text: str, catalogue: Catalogue) -> bool:
    """Whether someone who does what a text says looks at the lamp, or sees it lit."""
    watched = catalogue.speech.lamp.watched
    return change_of(text, catalogue) == "lit" or any(
        not watched.isdisjoint(head.split()) for head, _ in _around_name(text, catalogue)
    )


def _around_name(text: str, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """Give what stands before the lamp's name and behind it, in each sentence that has it."""
    small = plain(text)
    names = [name for name in catalogue.speech.lamp.names if catalogue.phrases.stands_in(name, small)]
    for part in parts(small) if names else ():
        for name in names:
            head, named, tail = part.text.partition(name)
            if named:
                yield head, tail


def _shown(tail: str, catalogue: Catalogue) -> Change:
    lamp, finder = catalogue.speech.lamp, catalogue.phrases
    dark = [phrase for phrase in lamp.goes_dark if finder.stands_in(phrase, tail)]
    rest = tail
    for phrase in dark:
        rest = rest.replace(phrase, "")
    is_denied = not catalogue.speech.negations.isdisjoint(rest.split())
    if not dark:
        return "lit" if not is_denied and any(finder.stands_in(phrase, tail) for phrase in lamp.lit) else ""
    shows_itself = any(finder.stands_in(phrase, rest) for phrase in (*lamp.lit, *lamp.shows_itself))
    return "lit" if is_denied or shows_itself else "dark"


def may_hang(flow: Flow, shelf: Shelf) -> bool:
    """Whether a sign of a file, or of a block that it follows, may hang on the lamp's going dark."""
    return _has_sign(flow, shelf.catalogue) or any(_block_has_sign(block, shelf) for block in shelf.followed(flow))


def _block_has_sign(block: Block, shelf: Shelf) -> bool:
    """Whether a sign of a block may hang on it; worked out once a block."""
    key = ("lamp's signs", block.id)
    if key not in shelf.kept:
        shelf.kept[key] = _has_sign(block, shelf.catalogue)
    return shelf.kept[key] is True


def _has_sign(flow: Flow, catalogue: Catalogue) -> bool:
    return any(_may_be_sign(step, catalogue) for step in flow.steps.values())


def _may_be_sign(step: Step, catalogue: Catalogue) -> bool:
    texts = (step.ask, *(line.expect for line in step.lines))
    return any(change_of(text, catalogue) == "dark" for text in texts if text) or any(map(_Lamp(catalogue).looks, step.lines))


def unseen(graph: StepGraph, flow: Flow, catalogue: Catalogue) -> Iterator[Unseen]:
    """Give each sign of the lamp's going dark to which some way leads that has not seen it lit, once."""
    lamp = _Lamp(catalogue)

    def after(edge: Edge, mind: str) -> str:
        step = graph.nodes[edge.source].step
        return mind if step is None or edge.outcome == _SPENT else lamp.left(step, mind, edge)

    stages = passed(graph, lamp.at_start(flow), after)
    told: set[Place] = set()
    for stage in stages:
        node = graph.nodes[stage.node]
        for sign in lamp.signs(node, flow, stage.mind):
            if sign.at not in told:
                told.add(sign.at)
                yield Unseen(sign, node, way_to(stage, stages))


class _Lamp(NamedTuple):
    """What the lines of a step make of what is kept in mind."""

    catalogue: Catalogue

    def at_start(self, flow: Flow) -> str:
        if not isinstance(flow, Procedure):
            return _SEEN
        lamp = self.catalogue.speech.lamp
        said = flow.start.get(lamp.variable)
        lit = {*self.catalogue.variables[lamp.variable].values} - {lamp.dark}
        return _SEEN if said is not None and said.text in lit else _UNSEEN

    def looks(self, line: Line) -> bool:
        """Whether a line looks at the lamp."""
        return line.verb == _LOOK and line.words["variable"] == self.catalogue.speech.lamp.variable

    def left(self, step: Step, mind: str, edge: Edge) -> str:
        """Give what is kept in mind behind an edge out of a step."""
        for line in step.lines[:-1]:
            mind = self._behind(line, self._watched(step, mind))
        for line in step.lines[-1:]:
            mind = self._left_by(line, self._watched(step, mind), edge)
        # Whoever is asked about the lamp has looked at it.
        return _SEEN if step.ask and any(_around_name(step.ask, self.catalogue)) else self._watched(step, mind)

    def _left_by(self, line: Line, mind: str, edge: Edge) -> str:
        if self.looks(line) and edge.outcome == self.catalogue.speech.lamp.dark:
            return _UNSEEN
        # A lamp that was to be seen lit and was not has shown nothing.
        return self._set_aside(line, mind) if edge.is_failing else self._behind(line, mind)

    def _watched(self, step: Step, mind: str) -> str:
        told = (step.instruction, step.prompt.means if step.prompt is not None else "")
        return _SEEN if any(is_watched(text, self.catalogue) for text in told if text) else mind

    def _behind(self, line: Line, mind: str) -> str:
        """Give what is kept in mind behind a line that was done, its sign seen."""
        words = (line.expect, line.words.get("text", ""), line.action.say)
        sees = any(is_watched(text, self.catalogue) for text in words) or change_of(line.expect, self.catalogue) == "dark"
        return _SEEN if sees or self.looks(line) else self._set_aside(line, mind)

    def _set_aside(self, line: Line, mind: str) -> str:
        """Give what a line leaves of what is kept in mind, whatever is seen at it."""
        if line.verb in self.catalogue.speech.lamp.forgotten_by:
            return _UNSEEN
        if mind == _SEEN:
            return _SEEN
        is_answered = line.by != "technician" and (line.action.writes or line.verb.startswith(_WAITS))
        return _ACTED if is_answered or (mind == _ACTED and line.verb in (_WAITS, _LOOK)) else _UNSEEN

    def signs(self, node: Node, flow: Flow, mind: str) -> Iterator[Dark]:
        """Give the signs of a node that hang on the lamp's going dark where it has not been seen lit."""
        if node.step is None:
            return
        for line in node.step.lines:
            mind = self._watched(node.step, mind)
            if mind != _SEEN and self._is_dark(line):
                yield Dark(Said(line.expect, "expect", line.at, node.step, line).at, line.expect)
            if mind == _ACTED and self.looks(line) and node.is_own and self._wants_dark(node.step, flow):
                yield Dark(line.at, self.catalogue.speech.lamp.dark)
            mind = self._behind(line, mind)
        if mind != _SEEN and change_of(node.step.ask, self.catalogue) == "dark":
            yield Dark(node.step.at / "ask", node.step.ask)

    def _is_dark(self, line: Line) -> bool:
        is_lit = line.verb in self.catalogue.speech.lamp.lit_by
        return not is_lit and change_of(line.expect, self.catalogue) == "dark"

    def _wants_dark(self, step: Step, flow: Flow) -> bool:
        """Whether a step that looks goes on where the lamp is dark, and elsewhere where it is not."""
        way = step.way(self.catalogue.speech.lamp.dark)
        if way is None or all(other.target == way.target for other in step.ways):
            return False
        if way.target in flow.ends:
            return flow.ends[way.target].kind in ("success", "")
        return way.target in flow.steps and not flow.steps[way.target].is_fallback
