"""Reading a line in the words of its verb."""

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue.entries import Action
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.misfits import explain
from proclint.catalogue.nearest import nearest, nearest_fit
from proclint.catalogue.patterns import Kind, listed
from proclint.catalogue.units import read_duration

_DOUBTFUL = frozenset({"duration", "value", "variable"})


class Verb(NamedTuple):
    """An action made ready to read lines in which a block's own parameters `names` may stand.

    `values` are those that may be written of each variable. `doubtful` are the parameters of which an
    expression does not tell all: that the least of a time comes first, that a value is one of that
    variable.
    """

    action: Action
    kind_of: Mapping[str, Kind]
    expressions: tuple[re.Pattern[str], ...]
    names: frozenset[str]
    values: Mapping[str, tuple[str, ...]]
    doubtful: tuple[str, ...]


def ready(action: Action, kinds: Mapping[str, Kind], names: frozenset[str], values: Mapping[str, tuple[str, ...]]) -> Verb:
    """Make an action ready to read lines."""
    kind_of = {name: kinds[parameter.kind] for name, parameter in action.parameters.items()}
    expressions = tuple(pattern.expression(kind_of, names) for pattern in action.patterns)
    doubtful = tuple(name for name, kind in kind_of.items() if kind.name in _DOUBTFUL)
    return Verb(action, kind_of, expressions, names, values, doubtful)


def read_short(text: str, verb: Verb) -> MatchedLine | Mismatch:
    """Read a line whose first word is the verb."""
    # Only a line that does not fit as it stands is worth a second look without its surplus spaces.
    for line in (text, " ".join(text.split())):
        for expression in verb.expressions:
            found = expression.fullmatch(line)
            if found is not None:
                words = {name: word for name, word in found.groupdict().items() if word is not None}
                return _matched(words, verb, text)
    return explain(text, verb.action, verb.kind_of, verb.names)


def read_long(words: Mapping[str, str], verb: Verb) -> MatchedLine | Mismatch:
    """Read the parameters of a verb by name."""
    for name, word in words.items():
        kind = verb.kind_of.get(name)
        if kind is None:
            return _no_such(name, verb)
        if not kind.fits(word, verb.names):
            return _wrong(name, kind.in_words, nearest_fit(word, kind, 0), verb)
    return _short_of(frozenset(words), verb) or _matched(dict(words), verb, "")


def _matched(words: dict[str, str], verb: Verb, text: str) -> MatchedLine | Mismatch:
    for name in verb.doubtful:
        word = words.get(name)
        if word is not None and word not in verb.names:
            wrong = _doubt(name, words, verb)
            if wrong is not None:
                return _placed(wrong, text, word)
    return MatchedLine(verb.action, MappingProxyType(words))


def _doubt(name: str, words: Mapping[str, str], verb: Verb) -> Mismatch | None:
    kind, word = verb.kind_of[name], words[name]
    if kind.name == "duration":
        is_right = read_duration(word) is not None
        return None if is_right else _wrong(name, f"{kind.in_words}, the least first", "", verb)
    if kind.name == "variable":
        expected = f"a variable that '{verb.action.verb}' can reach, such as {next(iter(verb.values))}"
        return None if word in verb.values else _wrong(name, expected, nearest(word, verb.values), verb)
    variable = next(words[each] for each, other in verb.kind_of.items() if other.name == "variable")
    values = verb.values.get(variable, ())
    expected = listed(values) if values else kind.in_words
    return None if word in values else _wrong(name, expected, nearest(word, values), verb)


def _placed(wrong: Mismatch, text: str, word: str) -> Mismatch:
    """Say where in the line the wrong word stands; what a parameter says stands behind the verb."""
    if not text:
        return wrong
    offset = text.find(word, text.find(" "))
    # Where surplus spaces tore the word apart, the whole line is the place.
    return wrong._replace(offset=offset, length=len(word)) if offset > 0 else wrong._replace(length=len(text))


def _wrong(name: str, expected: str, suggestion: str, verb: Verb) -> Mismatch:
    return Mismatch("wrong-word", 0, 0, expected, suggestion, _pattern_with(name, verb), name)


def _no_such(name: str, verb: Verb) -> Mismatch:
    known = tuple(verb.kind_of)
    expected = listed(known) or "nothing more"
    return Mismatch("extra-words", 0, 0, expected, nearest(name, known), verb.action.patterns[0].text, name)


def _pattern_with(name: str, verb: Verb) -> str:
    return next(pattern.text for pattern in verb.action.patterns if name in pattern.parameters)


def _short_of(given: frozenset[str], verb: Verb) -> Mismatch | None:
    """Say which parameter is missing or too much; nothing where a form of the verb takes just these."""
    forms = [(pattern.text, wanted) for pattern in verb.action.patterns for wanted in pattern.wanted]
    if any(set(wanted) == given for _, wanted in forms):
        return None
    # A form that takes all that is given is nearer than one that takes it only in part.
    form, wanted = min(forms, key=lambda each: (not given <= set(each[1]), len(given ^ set(each[1]))))
    missing = next((name for name in wanted if name not in given), "")
    if missing:
        return Mismatch("missing-parameter", 0, 0, verb.kind_of[missing].in_words, "", form, missing)
    return Mismatch("extra-words", 0, 0, listed(wanted) or "nothing more", "", form, min(given - set(wanted)))
