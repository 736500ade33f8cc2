"""What the topics of the catalogue must agree on; looked at for a library's own words, and by the tests."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial

from proclint.catalogue import forms
from proclint.catalogue.catalogue import Catalogue
from proclint.catalogue.deeds import Refuse, read_always, read_deed, read_peril, read_reach, read_reckoned
from proclint.catalogue.demands import read_demand
from proclint.catalogue.entries import Action, NeedOf
from proclint.catalogue.lines import Mismatch
from proclint.catalogue.own import Own
from proclint.catalogue.problem import CatalogueProblem
from proclint.catalogue.scope import hint

_PARAMETER = re.compile(r"\{([a-z]+)\}")
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
        yield from _misread(f"hazards.{hazard.name}", partial(read_peril, hazard, trade), trade)
    yield from _misread("variables", partial(read_always, trade.always, trade), trade)
    yield from _of_variables(trade)
    yield from _of_make_sure(trade)
    yield from _of_needs(trade)
    for number, demand in enumerate(trade.demand_rows):
        yield from _misread(f"demands.{number}", partial(read_demand, demand, trade), trade)
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
    told = set(_PARAMETER.findall(" ".join(_texts(action))))
    for name in sorted(told - set(action.parameters)):
        yield _problem(at, f"There is no parameter '{name}'.{hint(name, action.parameters)}", trade)
    if told <= set(action.parameters):
        yield from _misread(at, partial(read_deed, action, trade), trade)


def _texts(action: Action) -> tuple[str, ...]:
    answered = (item for items in action.answer_makes.values() for item in items)
    return (action.say, *action.needs, *action.makes, *action.failure_makes, *action.shows, *answered)


def _misread(at: str, read: Callable[[Refuse], object], trade: Catalogue) -> Iterator[CatalogueProblem]:
    """Find the conditions and effects of an entry that cannot be read."""
    found: list[tuple[str, str]] = []
    read(lambda field, message: found.append((field, message)))
    for field, message in found:
        yield _problem(f"{at}.{field}", message, trade)


def _of_variables(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for variable in trade.variables.values():
        at, start = f"variables.{variable.name}", variable.start
        for name in variable.stands_for:
            if name not in trade.variables:
                yield _problem(f"{at}.stands-for", f"There is no variable '{name}'.", trade)
        if variable.numbers is None and start not in (*variable.values, "unknown", "as written"):
            yield _problem(f"{at}.start", f"'{start}' is none of its values.", trade)
        yield from _misread(at, partial(read_reckoned, variable, trade), trade)


def _of_make_sure(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for number, row in enumerate(trade.make_sure):
        at, variable = f"make-sure.{number}", trade.variables.get(row.variable)
        if variable is None or row.value not in variable.values:
            yield _problem(f"{at}.reach", f"'{row.variable}' has no value '{row.value}'.", trade)
        for line in row.do:
            if isinstance(trade.match(line, names=_STAND_INS), Mismatch):
                yield _problem(f"{at}.do", f"'{line}' is no line of an action.", trade)
        yield from _misread(at, partial(read_reach, row, trade), trade)


def _of_needs(trade: Catalogue) -> Iterator[CatalogueProblem]:
    for number, row in enumerate(trade.needs_of):
        for field, message in _unknown_in(row, trade):
            yield CatalogueProblem("demands.yaml", f"needs-of.{number}.{field}", message)
    if not trade.needs_of or trade.needs_of[-1].verbs or trade.needs_of[-1].about:
        yield CatalogueProblem("demands.yaml", "needs-of", "The last row must fit every need that is left.")


def _unknown_in(row: NeedOf, trade: Catalogue) -> Iterator[tuple[str, str]]:
    for verb in row.verbs:
        if verb not in trade.actions:
            yield "actions", f"There is no action '{verb}'.{hint(verb, trade.actions)}"
    for about in row.about:
        name = about.removeprefix("others.")
        if name not in trade.variables:
            yield "about", f"There is no variable '{name}'.{hint(name, trade.variables)}"


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
