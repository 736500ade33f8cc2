"""Where a caution stands, held against where it has to stand.

A caution has to precede what it warns of, close by (MIL-DTL-87268D 3.2.2.2, as its text is published; common practice for how
close). That one is missing on some way is found by running the procedure (`states`); what is told here is how: whether it stands
nowhere, behind the danger, on some other branch, or before a loop that comes back behind it.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

from proclint.analysis.graph import Node, StepGraph
from proclint.catalogue import Atom, Catalogue, Form, Hazard
from proclint.model import Line, Step, Word

if TYPE_CHECKING:
    from proclint.analysis.states.findings import Finding
    from proclint.analysis.study import Study

Standing: TypeAlias = Literal["nowhere", "behind", "on another branch", "before a loop"]
# The most steps that may be done between a caution and what it warns of; the other placings bound nothing.
_MOST_BETWEEN = {"directly-before": 0, "within-3-steps": 3}
# What such a line does, and so what it raises, hangs on the state.
_MAKE_SURE = "make-sure"
_GRAVE = frozenset({"life", "injury", "no-key"})


class Missing(NamedTuple):
    """A line that is done on some way without its caution, how the caution stands, and where if it stands anywhere."""

    finding: "Finding"
    hazard: Hazard
    standing: Standing
    shown: tuple[Word, ...]

    @property
    def is_grave(self) -> bool:
        """Whether people may be hurt, or left without a key."""
        return self.hazard.harm in _GRAVE


class Distant(NamedTuple):
    """A line whose caution was read a number of steps before it, and where the caution stands."""

    line: Line
    hazard: str
    steps: int
    shown: Word


def as_clause(sentence: str) -> str:
    """Give a sentence as it stands behind `that`: without its full stop, and in small letters unless it begins with a name."""
    begin = sentence[:1].lower() if sentence[1:2].islower() or sentence[1:2] == " " else sentence[:1]
    return begin + sentence[1:].rstrip(".")


def missing_cautions(study: "Study", standing: Standing) -> Iterator[Missing]:
    """Give the lines that are done on some way without their caution, where it stands as asked; one for each step and hazard.

    Left out is what a change of the state is asked for at the same line: made, it ends the danger, and no caution is called for.
    """
    seen = set()
    cautions = _Cautions(study)
    for finding in study.states.of("hazard-without-caution"):
        name, station = finding.demand.hazard, finding.station
        key = (name, station.calls, station.of.name)
        if key in seen or _shown_at(station.step, name) is not None or _is_asked_for(finding, study):
            continue
        seen.add(key)
        missing = cautions.missing(finding)
        if missing.standing == standing:
            yield missing


def _is_asked_for(finding: "Finding", study: "Study") -> bool:
    """Whether another finding at the same line asks for what would end the danger."""
    ends = {name for atoms in study.catalogue.peril(finding.demand.hazard).discharged_by for name in _names_in(atoms)}
    others = (each for each in study.states.broken if not each.demand.hazard and each.at == finding.at)
    return any(ends & _about(each, study.catalogue) for each in others if each.grade != "unstated")


def _about(finding: "Finding", catalogue: Catalogue) -> set[str]:
    """Name the variables that a finding is about, without whose they are."""
    demand = finding.demand
    if demand.good:
        return {demand.variable.rpartition(".")[2]}
    verb = demand.text.partition(" ")[0]
    rows = (row for row in catalogue.demands_at(verb) if row.rule == demand.rule)
    return {name for row in rows for item in row.must for name in _names_in(item.atoms)}


def _names_in(atoms: Iterable[Atom]) -> Iterator[str]:
    return (operand.name for atom in atoms for operand in atom.operands if operand.form is Form.VARIABLE)


def _shown_at(step: Step | None, hazard: str) -> Word | None:
    """Give the caution of a step for a hazard."""
    return next((word for word in step.cautions if word.text == hazard), None) if step is not None else None


@dataclass(frozen=True)
class _Cautions:
    """The cautions of one flow, and of the blocks that it follows, on its graph."""

    study: "Study"

    @property
    def graph(self) -> StepGraph:
        return self.study.graph

    @cached_property
    def nodes(self) -> dict[tuple[tuple[str, ...], str], Node]:
        """The nodes by the steps that lead to them and their name."""
        return {(node.calls, node.name): node for node in self.graph.nodes}

    def missing(self, finding: "Finding") -> Missing:
        """Say how a caution stands that is missing at a line."""
        name, station = finding.demand.hazard, finding.station
        passed = [word for leg in finding.way[:-1] if (word := _shown_at(leg.station.step, name)) is not None]
        if passed:
            is_again = any(leg.station == station for leg in finding.way[:-1])
            standing: Standing = "before a loop" if is_again else "nowhere"
            return self._missing(finding, standing, tuple(passed[-1:]))
        node = self.nodes.get((station.calls, station.of.name))
        return self._elsewhere(finding, node) if node is not None else self._missing(finding, "nowhere", ())

    def _elsewhere(self, finding: "Finding", node: Node) -> Missing:
        """Say how a caution stands that is not on the way."""
        showing = {
            each.index: word for each in self.graph.nodes if (word := _shown_at(each.step, finding.demand.hazard)) is not None
        }
        ahead = self.graph.search((0,), avoiding=frozenset({node.index})).keys() & showing.keys()
        if node.index in self.graph.search(sorted(ahead)):
            return self._missing(finding, "on another branch", (showing[min(ahead)],))
        found = self.graph.search((node.index,)).keys() & showing.keys()
        behind = [index for index in sorted(found) if _is_misplaced(self.graph.nodes[index], node, finding.demand.hazard)]
        if behind:
            return self._missing(finding, "behind", (showing[behind[0]],))
        retried = [index for index in sorted(found) if node.index in self.graph.search((index,))]
        if retried:
            return self._missing(finding, "on another branch", (showing[retried[0]],))
        return self._missing(finding, "nowhere", ())

    def _missing(self, finding: "Finding", standing: Standing, shown: tuple[Word, ...]) -> Missing:
        return Missing(finding, self.study.catalogue.hazards[finding.demand.hazard], standing, shown)


def _is_misplaced(showing: Node, needing: Node, hazard: str) -> bool:
    """Whether a caution behind the step that needs it was meant for that: it stands in the same file, at no danger of its own."""
    step = showing.step
    lines = (*step.lines, *step.meanwhile) if step is not None else ()
    is_needed = any(hazard in line.action.hazards or line.action.takes == _MAKE_SURE for line in lines)
    return showing.calls == needing.calls and not is_needed


def distant_cautions(study: "Study") -> Iterator[Distant]:
    """Give the lines of a file whose caution was read too many steps before, on some way: the farthest of each step and hazard.

    Only what its own words make dangerous, whatever the state, is looked at; so nothing is asked for that the state has ended.
    """
    for step in study.flow.steps.values():
        for hazard, line in _raised_in(step, study.catalogue).items():
            most = _MOST_BETWEEN.get(study.catalogue.hazards[hazard].placing)
            if most is None or _shown_at(step, hazard) is not None:
                continue
            steps, shown = max(_before(study, step, hazard), key=lambda each: each[0], default=(0, None))
            if shown is not None and steps > most:
                yield Distant(line, hazard, steps, shown)


def _raised_in(step: Step, catalogue: Catalogue) -> dict[str, Line]:
    """Give the hazards that the words of a step raise, each with the first line that does."""
    found: dict[str, Line] = {}
    for line in (*step.lines, *step.meanwhile):
        for hazard in line.action.hazards:
            if hazard not in found and _always_raised(line, hazard, catalogue):
                found[hazard] = line
    return found


def _before(study: "Study", step: Step, hazard: str) -> Iterator[tuple[int, Word]]:
    """Give the last cautions before a step on all ways to it, each with the fewest steps that are done from there on.

    Ways on which the hazard is raised before end there: the caution is looked for from that step.
    """
    graph = study.graph
    start = graph.own(step.name)
    assert start is not None
    seen, waiting = {start.index}, [(0, start.index)]
    while waiting:
        # A step without lines is no way off, so the nearest is not always the next.
        steps, index = heappop(waiting)
        here = graph.nodes[index].step
        shown = _shown_at(here, hazard)
        if index != start.index and here is not None and hazard in _raised_in(here, study.catalogue):
            continue
        if shown is not None:
            yield steps, shown
        else:
            for edge in graph.arriving[index]:
                if edge.source not in seen:
                    seen.add(edge.source)
                    heappush(waiting, (steps + _is_work(graph.nodes[edge.source].step), edge.source))


def _is_work(step: Step | None) -> bool:
    return step is not None and bool(step.lines or step.ask)


def _always_raised(line: Line, hazard: str, catalogue: Catalogue) -> bool:
    """Whether the words of a line raise a hazard, whatever the state, and no state ends it."""
    peril = catalogue.peril(hazard)
    return not peril.discharged_by and any(all(_said(atom, line) for atom in atoms) for atoms in peril.raised_by)


def _said(atom: Atom, line: Line) -> bool:
    """Whether a line says by its own words that a condition holds."""
    operand = atom.left.first
    said = {"action": line.verb, "actor": line.by}.get(operand.name) if operand.form is Form.LINE else None
    if operand.form is Form.TOLD:
        said = line.words.get(operand.name)
    words = atom.words if atom.right is None else tuple(each.name for each in atom.right.operands)
    return said is not None and (said in words) == (atom.operator in ("=", "in"))
