"""Variants that a procedure looks for or chooses by, and that its vehicles do not tell apart."""

from collections.abc import Iterator

from proclint.analysis.conditions import read_condition
from proclint.analysis.usage import Undeclared
from proclint.catalogue import Catalogue
from proclint.model import Flow, Procedure, Step, Way

_VARIANT = "variant"


def untold(flow: Flow, catalogue: Catalogue) -> Iterator[Undeclared]:
    """Give the looks for a variant where none is declared, and the ways for one that is not among those declared.

    A block has no vehicles of its own and is left to those who follow it.
    """
    if not isinstance(flow, Procedure):
        return
    declared = tuple(sorted({letter for vehicles in flow.vehicles for letter in vehicles.variants}))
    for step in flow.steps.values():
        looks = [line for line in step.lines if line.verb == "look" and line.words.get("variable") == _VARIANT]
        if looks and not declared:
            yield Undeclared("variants", _VARIANT, looks[-1].at, ())
            continue
        for way in step.ways:
            name = _named(way, step, catalogue, is_looked_for=bool(looks))
            if name and name not in declared:
                yield Undeclared(_VARIANT, name, (step.at / "ways").key(way.outcome), declared)


def _named(way: Way, step: Step, catalogue: Catalogue, *, is_looked_for: bool) -> str:
    """Give the variant that an outcome names: as an answer to a look, or in a condition."""
    if is_looked_for:
        return way.outcome if way.outcome in catalogue.variables[_VARIANT].values else ""
    if _VARIANT not in way.outcome or step.ask or step.follow is not None:
        return ""
    condition = read_condition(way.outcome, catalogue)
    words = [atom.word for atom in condition.atoms if atom.variable == _VARIANT] if condition is not None else []
    return words[0] if words else ""
