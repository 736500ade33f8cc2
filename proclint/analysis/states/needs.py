"""What must hold where a line is done or a procedure ends, and what has to be warned of: worked out once for each scene."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proclint.analysis.machine import Check
from proclint.analysis.states.cast import Cast
from proclint.analysis.states.effects import scenes
from proclint.analysis.states.piece import Demand
from proclint.analysis.states.truth import FALSE, TRUE, Scene, Truth, all_hold, any_of, both, is_there
from proclint.catalogue import Atom, Form, Item


class Asked(NamedTuple):
    """A check that may be asked at many lines, and of a demand all that does not hang on the line."""

    check: Check
    rule: str
    subject: str
    variable: str
    good: tuple[str, ...]

    def at(self, line: int, text: str) -> tuple[Check, Demand]:
        """Give it as it is asked at a line."""
        return self.check, Demand(self.rule, self.subject, line, text, self.variable, self.good)


class Need(NamedTuple):
    """What `must` hold `when` something does, and the checks of it."""

    when: Truth
    must: Truth
    asked: tuple[Asked, ...]


class Danger(NamedTuple):
    """When a hazard is raised, and when it is surely ended."""

    raised: Truth
    ended: Truth


def needs_of_line(scene: Scene) -> tuple[Need, ...]:
    """Give what must hold for a line."""
    return scene.once("needs", lambda: tuple(_needs(_of_verb(scene), scene, spared=frozenset())))


def _of_verb(scene: Scene) -> Iterator[tuple[str, str, Item]]:
    catalogue = scene.cast.catalogue
    yield from (("", "", item) for item in catalogue.deed(scene.verb).needs)
    for demand in catalogue.demands_at(scene.verb):
        yield from ((demand.rule, demand.subject, item) for item in demand.must)


def needs_of_ending(kind: str, cast: Cast) -> tuple[Need, ...]:
    """Give what must hold at an ending of a kind; what is not here is nobody's to prove."""
    demands = cast.catalogue.demands_at_ending(kind) if kind else ()
    named = ((demand.rule, demand.subject, item) for demand in demands for item in demand.must)
    return tuple(_needs(named, Scene(cast, "", "", {}, {}), spared=cast.absent))


def _needs(named: Iterable[tuple[str, str, Item]], scene: Scene, *, spared: frozenset[str]) -> Iterator[Need]:
    for rule, subject, item in named:
        for each in _scenes_of(item, scene):
            if each.each in spared:
                continue
            when = both(is_there(each.each, each.cast), all_hold(item.condition, each), each.cast)
            if when.is_sure and when.cases:
                must = all_hold(item.atoms, each)
                if must.is_sure and must is not TRUE:
                    told = rule or ("" if must.cases else _rule_of(item, each))
                    yield Need(when, must, tuple(_asked(must, (told, subject), scene)))


def _rule_of(item: Item, scene: Scene) -> str:
    """Give the rule of what never holds and nothing changes: that of the variable it is about, else of one in its condition."""
    failing = (atom for atom in item.atoms if all_hold((atom,), scene) is FALSE)
    operands = (operand for atom in (*failing, *item.condition) for operand in atom.operands)
    names = (operand.name for operand in operands if operand.form is Form.VARIABLE)
    about = next((name for name in names if scene.cast.number.get(name) in scene.cast.settled), "")
    return scene.cast.catalogue.rule_of_need(scene.verb, about)


def _scenes_of(item: Item, scene: Scene) -> Iterator[Scene]:
    """Give a scene for each key that an item is read for, none where the line does not say what the item names."""
    if not scene.says_all(item.parameters):
        return
    yield from scenes(item.whose, scene)


def _asked(must: Truth, named: tuple[str, str], scene: Scene) -> Iterator[Asked]:
    """Give a check of each variable that has to have one of some values; one that never holds where several cases are good.

    `named` are the rule and the subject; without a rule the catalogue says to which a broken need belongs.
    """
    (rule, subject), cast = named, scene.cast
    if len(must.cases) != 1:
        yield Asked(cast.layout.check(0, 2), rule or cast.catalogue.rule_of_need(scene.verb, ""), subject, cast.names[0], ())
        return
    for variable, good in must.cases[0].items():
        name = cast.names[variable]
        last = name.rpartition(".")[2]
        told = rule or cast.catalogue.rule_of_need(scene.verb, last)
        yield Asked(cast.layout.check(variable, good), told, subject or last, name, cast.words(variable, good))


def danger_of(hazard: str, scene: Scene) -> Danger | None:
    """Say when a line raises a hazard and when that is ended; nothing where it surely does not raise it."""
    return scene.once(("danger", hazard), lambda: _danger(hazard, scene))


def _danger(hazard: str, scene: Scene) -> Danger | None:
    peril = scene.cast.catalogue.peril(hazard)
    raised = any_of(_those(peril.raised_by, scene))
    ended = any_of(truth for truth in _those(peril.discharged_by, scene) if truth.is_sure)
    return Danger(raised, ended) if raised.cases and raised.is_sure and ended is not TRUE else None


def _those(alternatives: Iterable[tuple[Atom, ...]], scene: Scene) -> Iterator[Truth]:
    """Say of each alternative when it holds; one that names what the line does not say is left out."""
    for atoms in alternatives:
        if all(not operand.parameter or operand.parameter in scene.words for atom in atoms for operand in atom.operands):
            yield all_hold(atoms, scene)
