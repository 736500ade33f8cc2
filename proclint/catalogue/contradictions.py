"""What the topics of the catalogue must agree on; looked at for a library's own words, and by the tests."""

import re
from collections.abc import Iterable, Iterator, Mapping

from proclint.catalogue import forms
from proclint.catalogue.catalogue import Catalogue
from proclint.catalogue.entries import Action
from proclint.catalogue.lines import Mismatch
from proclint.catalogue.own import Own
from proclint.catalogue.problem import CatalogueProblem

_FACT = re.compile(r"fact\.([a-z-]+)")
_PARAMETER = re.compile(r"\{([a-z]+)\}")
_ACTIONS = re.compile(r"\baction (?:=|!=|in|not in) (?:\[([^\]]*)\]|([a-z0-9-]+))")
_ATOM = re.compile(r" if | and ")
_LEFT = re.compile(r"([^ ]+) (?:[-+=<>!]|in |not in )")
_ABOUT_THE_LINE = frozenset({"action", "actor", "choice"})
# What a line of make-sure may name beside keys: the key in the cylinder, and one that works.
_STAND_INS = frozenset({"{cylinder}", "{working}"})


def clashes(own: Own, trade: Catalogue) -> Iterator[CatalogueProblem]:
    """Find names of a library that the catalogue has already."""
    taken = _taken(trade)
    for key, file in own.origins.items():
        if key in taken:
            name = key.partition(".")[2]
            yield CatalogueProblem(file, f"vocabulary.{key}", f"'{name}' has a meaning already.")


def _taken(trade: Catalogue) -> frozenset[str]:
    topics: Mapping[str, Iterable[str]] = {
        "variables": trade.variables,
        "actions": trade.actions,
        "hazards": trade.hazards,
        "attributes": trade.attributes,
        "words": trade.words,
    }
    return frozenset(f"{topic}.{name}" for topic, names in topics.items() for name in names)


def contradictions(trade: Catalogue) -> Iterator[CatalogueProblem]:
    """Find what the topics say against each other, each with file and key."""
    for action in trade.actions.values():
        yield from _of_action(action, trade)
    for hazard in trade.hazards.values():
        at = f"hazards.{hazard.name}"
        for field, conditions in (("raised-by", hazard.raised_by), ("discharged-by", hazard.discharged_by)):
            yield from _of_conditions(f"{at}.{field}", conditions, trade)
    yield from _of_conditions("variables.always", trade.always, trade)
    yield from _of_variables(trade)
    yield from _of_make_sure(trade)
    yield from _of_attributes(trade)
    yield from _of_words(trade)


def _problem(key: str, message: str, trade: Catalogue) -> CatalogueProblem:
    """Place a problem in the library's file or in the package's own."""
    topic, name = key.split(".")[:2]
    origin = trade.own.origins.get(f"{topic}.{name}")
    return CatalogueProblem(origin or f"{topic}.yaml", f"vocabulary.{key}" if origin else key, message)


def _of_action(action: Action, trade: Catalogue) -> Iterator[CatalogueProblem]:
    at = f"actions.{action.verb}"
    for field, message in forms.problems(action, trade.kinds):
        yield _problem(f"{at}.{field}", message, trade)
    for hazard in action.hazards:
        if hazard not in trade.hazards:
            yield _problem(f"{at}.hazards", f"There is no hazard '{hazard}'.", trade)
    answered = (item for items in action.answer_makes.values() for item in items)
    effects = (*action.makes, *action.failure_makes, *answered)
    for field, conditions in (("needs", action.needs), ("makes", effects)):
        yield from _of_conditions(f"{at}.{field}", conditions, trade, action)
    texts = (action.say, *action.shows, *action.needs, *effects)
    for name in _PARAMETER.findall(" ".join(texts)):
        if name not in action.parameters:
            yield _problem(at, f"There is no parameter '{name}'.", trade)


def _of_conditions(
    key: str, conditions: tuple[str, ...], trade: Catalogue, action: Action | None = None
) -> Iterator[CatalogueProblem]:
    text = "\n".join(conditions)
    for fact in _FACT.findall(text):
        if fact not in trade.attributes:
            yield _problem(key, f"There is no attribute '{fact}'.", trade)
    for several, one in _ACTIONS.findall(text):
        for verb in (several or one).split(", "):
            if verb not in trade.actions:
                yield _problem(key, f"There is no action '{verb}'.", trade)
    named = frozenset(action.parameters if action else ())
    for atom in (atom for condition in conditions for atom in _ATOM.split(condition)):
        if not _is_known(atom, named, trade):
            yield _problem(key, f"'{atom}' does not begin with a variable.", trade)


def _is_known(atom: str, named: frozenset[str], trade: Catalogue) -> bool:
    left = _LEFT.match(atom)
    if left is None:
        return atom.startswith("fact.")
    owner, _, name = left[1].rpartition(".")
    if name.startswith("{"):
        return not named or name[1:-1] in named
    return name in trade.variables or name in _ABOUT_THE_LINE or owner == "fact"


def _of_variables(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for variable in trade.variables.values():
        at, start = f"variables.{variable.name}", variable.start
        for name in variable.stands_for:
            if name not in trade.variables:
                yield _problem(f"{at}.stands-for", f"There is no variable '{name}'.", trade)
        if variable.numbers is None and start not in (*variable.values, "unknown", "as written"):
            yield _problem(f"{at}.start", f"'{start}' is none of its values.", trade)


def _of_make_sure(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for number, row in enumerate(trade.make_sure):
        at, variable = f"make-sure.{number}", trade.variables.get(row.variable)
        if variable is None or row.value not in variable.values:
            yield _problem(f"{at}.reach", f"'{row.variable}' has no value '{row.value}'.", trade)
        for line in row.do:
            if isinstance(trade.match(line, names=_STAND_INS), Mismatch):
                yield _problem(f"{at}.do", f"'{line}' is no line of an action.", trade)
        yield from _of_conditions(at, (row.when,) if row.when else (), trade)


def _of_attributes(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for attribute in trade.attributes.values():
        at = f"attributes.{attribute.name}"
        if attribute.type == "words" and not attribute.words:
            yield _problem(f"{at}.words", "The words that may stand in a cell are missing.", trade)
        if attribute.type == "quantity" and attribute.unit not in trade.units:
            yield _problem(f"{at}.unit", f"There is no unit '{attribute.unit}'.", trade)
        if attribute.type in ("count", "quantity") and (attribute.least is None or attribute.most is None):
            yield _problem(f"{at}.range", "The least and the most are missing.", trade)


def _of_words(trade: Catalogue) -> Iterator[CatalogueProblem]:
    seen: dict[str, str] = {}
    for word in trade.words.values():
        for phrase in word.phrases:
            other = seen.setdefault(phrase, word.name)
            if other != word.name:
                yield _problem(f"words.{word.name}.phrases", f"'{phrase}' stands under '{other}' too.", trade)
