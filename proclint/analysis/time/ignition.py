"""How long the ignition is on along one way while nothing supports the battery, where the lines alone tell it.

Along one way each line is known, and with it what the catalogue says that it makes of the few variables that count here. What
hangs on anything else is not known afterwards; and where it is not known whether the ignition is on, there is no answer.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from proclint.analysis.time.lengths import NOTHING, Length, total
from proclint.catalogue import Catalogue
from proclint.catalogue.conditions import Atom, Effect, Form, Sum, Whose
from proclint.model import Line, Procedure

IGNITION, SUPPORT = "ignition", "support"
_FOLLOWED = frozenset({IGNITION, SUPPORT, "engine", "brake-pedal", "ignition-kind"})
_COUNTS = frozenset({"on", "crank"})
_SAME, _OTHER = ("=", "in"), ("!=", "not in")


class Done(NamedTuple):
    """A line on a way, how long it takes there, and the answer that it gives, if it is asked for one."""

    line: Line
    length: Length
    answer: str


def ignition_on(way: Iterable[Done], procedure: Procedure, catalogue: Catalogue) -> Length | None:
    """Give how long the ignition is on without support along a way; nothing where lines alone do not tell."""
    known = _Known(catalogue, _start(procedure, catalogue))
    parts = [NOTHING]
    for done in way:
        ignition = known.values.get(IGNITION)
        if ignition is None:
            return None
        if ignition in _COUNTS and known.values.get(SUPPORT) == "none":
            parts.append(done.length)
        known.do(done)
    return total(parts)


def _start(procedure: Procedure, catalogue: Catalogue) -> dict[str, str]:
    kinds = {vehicles.ignition_kind for vehicles in procedure.vehicles}
    found = {name: catalogue.variables[name].start for name in _FOLLOWED if name in catalogue.variables}
    found |= {name: word.text for name, word in procedure.start.items() if name in _FOLLOWED}
    found["ignition-kind"] = kinds.pop() if len(kinds) == 1 else "unknown"
    return {name: value for name, value in found.items() if value != "unknown"}


@dataclass(slots=True)
class _Known:
    """What is known of the variables that are followed; one that is missing may have any value."""

    catalogue: Catalogue
    values: dict[str, str] = field(default_factory=dict)

    def do(self, done: Done) -> None:
        """Take in what a line makes; its conditions are read from what was before."""
        deed = self.catalogue.deed(done.line.verb)
        effects = (*deed.makes, *deed.answers.get(done.answer or next(iter(deed.answers), ""), ()))
        words = {**{name: each.default for name, each in done.line.action.parameters.items() if each.default}, **done.line.words}
        before = dict(self.values)
        for effect in effects:
            if effect.parameters <= words.keys():
                self._take(effect, words, before)

    def _take(self, effect: Effect, words: Mapping[str, str], before: Mapping[str, str]) -> None:
        name = words[effect.target.name] if effect.target.form is Form.NAMED else effect.target.name
        if effect.target.whose is not Whose.VEHICLE or name not in _FOLLOWED:
            return
        holds = _all_hold(effect.condition, words, before)
        value = _value(effect.value, words, before)
        if holds is None and value != self.values.get(name):
            self.values.pop(name, None)
        elif holds:
            self.values.pop(name, None)
            if value is not None:
                self.values[name] = value


def _all_hold(atoms: Iterable[Atom], words: Mapping[str, str], known: Mapping[str, str]) -> bool | None:
    """Whether all of some atoms hold; nothing where it is not known."""
    found = [_holds(atom, words, known) for atom in atoms]
    if False in found:
        return False
    return None if None in found else True


def _holds(atom: Atom, words: Mapping[str, str], known: Mapping[str, str]) -> bool | None:
    left, right = _value(atom.left, words, known), _value(atom.right, words, known)
    if left is None or (right is None and not atom.words) or atom.operator not in (*_SAME, *_OTHER):
        return None
    return (left in (atom.words or (right,))) == (atom.operator in _SAME)


def _value(term: Sum | None, words: Mapping[str, str], known: Mapping[str, str]) -> str | None:
    """Give the word or whole number that a term stands for; nothing where it is not known."""
    operand = term.alone if term is not None else None
    if operand is None:
        return None
    match operand.form:
        case Form.WORD:
            return None if operand.name == "unknown" else operand.name
        case Form.NUMBER:
            return f"{operand.number:f}" if not operand.name else None
        case Form.TOLD:
            return words[operand.name]
    is_followed = operand.form is Form.VARIABLE and operand.whose is Whose.VEHICLE
    return known.get(operand.name) if is_followed else None
