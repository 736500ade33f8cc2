"""What the entries of the catalogue say of states: what actions need and make, what hazards hang on, how a value is reached.

An entry's texts are read when they are first asked for: a run that follows no states pays nothing for them.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple, TypeAlias, TypeVar

from proclint.catalogue.conditions import Atom, Effect, Item, Operand, Shown, Sum
from proclint.catalogue.entries import EACH_VALUE, Action, Hazard, MakeSure, Variable
from proclint.catalogue.grammar import Reader
from proclint.catalogue.scope import Misread, Names, Scope, scope_of

_T = TypeVar("_T")
# Is told of each text that cannot be read: its field and a sentence. Where nobody is told, Misread is raised.
Refuse: TypeAlias = Callable[[str, str], None]

_ACTION = re.compile(r"\baction (?:= ([a-z0-9-]+)|in \[([^\]]*)\])")
# What is reckoned from other variables; whatever else stands under `derived` is told in words.
_RECKONED = re.compile(r"[a-z-]+ [+-] [a-z-]+")


class Deed(NamedTuple):
    """What an action needs and makes.

    `answers` is what holds after each answer, the wished one first; with `sees_value` the answers are the values of the variable
    that it looks at, and there are none here. `defaults` stand where a parameter is left out.
    """

    needs: tuple[Item, ...]
    makes: tuple[Effect, ...]
    failure_makes: tuple[Effect, ...]
    shows: tuple[Shown, ...]
    answers: Mapping[str, tuple[Effect, ...]]
    sees_value: bool
    defaults: Mapping[str, Operand]


class Peril(NamedTuple):
    """What raises a hazard and what ends it: alternatives, each of atoms that must all hold."""

    raised_by: tuple[tuple[Atom, ...], ...]
    discharged_by: tuple[tuple[Atom, ...], ...]


class Reach(NamedTuple):
    """One way to reach a value: where all of `when` holds, the lines of `do` one after the other."""

    when: tuple[Atom, ...]
    do: tuple[str, ...]


def _raise(field: str, message: str) -> None:
    raise Misread(f"{field}: {message}")


def read_deed(action: Action, names: Names, refuse: Refuse = _raise) -> Deed:
    """Read what an action needs and makes; what cannot be read is refused and left out."""
    reader = Reader(scope_of(names, (action.verb,)))
    with_default = {name: each.default for name, each in action.parameters.items() if each.default}
    sees_value = EACH_VALUE in action.answer_makes
    answers = {
        answer: _all(reader.effect, texts, f"answers.{answer}", refuse)
        for answer, texts in action.answer_makes.items()
        if not sees_value
    }
    defaults = {
        name: word
        for name, text in with_default.items()
        for word in _all(reader.word, (text,), f"parameters.{name}.default", refuse)
    }
    return Deed(
        needs=_all(reader.item, action.needs, "needs", refuse),
        makes=_all(reader.effect, action.makes, "makes", refuse),
        failure_makes=_all(reader.effect, action.failure_makes, "failure-makes", refuse),
        shows=_all(reader.shown, action.shows, "shows", refuse),
        answers=MappingProxyType(answers),
        sees_value=sees_value,
        defaults=MappingProxyType(defaults),
    )


def read_peril(hazard: Hazard, names: Names, refuse: Refuse = _raise) -> Peril:
    """Read what raises a hazard and what ends it; what cannot be read is refused and left out."""
    raisers = tuple(verb for text in hazard.raised_by for verb in _verbs(text))

    def read(text: str) -> tuple[Atom, ...]:
        # A parameter is one of the actions that the text names; where it names none, of those that raise the hazard.
        return Reader(scope_of(names, _verbs(text) or raisers)).condition(text)

    return Peril(_all(read, hazard.raised_by, "raised-by", refuse), _all(read, hazard.discharged_by, "discharged-by", refuse))


def read_reach(row: MakeSure, names: Names, refuse: Refuse = _raise) -> Reach:
    """Read one way to reach a value; what cannot be read is refused and left out."""
    read = _all(Reader(scope_of(names)).condition, filter(None, (row.when,)), "when", refuse)
    return Reach(read[0] if read else (), row.do)


def read_always(texts: Iterable[str], names: Names, refuse: Refuse = _raise) -> tuple[Item, ...]:
    """Read what always holds; what cannot be read is refused and left out."""
    return _all(Reader(scope_of(names)).item, texts, "always", refuse)


def read_cell(text: str, names: Names) -> Item:
    """Read one of the conditions in a cell of a facts table. Raises Misread."""
    return Reader(scope_of(names)).item(text)


def read_reckoned(variable: Variable, names: Names, refuse: Refuse = _raise) -> Sum | None:
    """Read from which variables of its owner one is reckoned; nothing where that is told in words, or refused."""
    if not _RECKONED.fullmatch(variable.derived):
        return None
    found = _all(Reader(Scope(names, {}, variable.owner)).sum, (variable.derived,), "derived", refuse)
    return found[0] if found else None


def _all(read: Callable[[str], _T], texts: Iterable[str], field: str, refuse: Refuse) -> tuple[_T, ...]:
    found = []
    for text in texts:
        try:
            found.append(read(text))
        except Misread as wrong:
            refuse(field, str(wrong))
    return tuple(found)


def _verbs(text: str) -> tuple[str, ...]:
    return tuple(verb for one, several in _ACTION.findall(text) for verb in (one or several).split(", "))
