"""Whether the forms of a verb can be read: every parameter declared, and no line that fits two of them."""

import re
from collections.abc import Iterator, Mapping
from itertools import combinations

from proclint.catalogue.entries import Action
from proclint.catalogue.patterns import Kind, parameter_of

_TEXT = ".+"


def problems(action: Action, kinds: Mapping[str, Kind]) -> Iterator[tuple[str, str]]:
    """Give what is wrong with the forms of a verb: the field and a sentence."""
    found = [*_of_patterns(action), *_of_parameters(action, kinds)]
    yield from found
    if not found:
        kind_of = {name: kinds[parameter.kind] for name, parameter in action.parameters.items()}
        yield from _of_pairs(action, kind_of)


def _of_patterns(action: Action) -> Iterator[tuple[str, str]]:
    if not action.patterns:
        yield "patterns", "At least one pattern belongs here."
    for pattern in action.patterns:
        if pattern.verb != action.verb:
            yield "patterns", f"'{pattern}' does not begin with '{action.verb}'."
        if not pattern.is_whole:
            yield "patterns", f"'{pattern}' has a bracket without its other half."
        for name in sorted(set(pattern.parameters) - set(action.parameters)):
            yield "patterns", f"There is no parameter '{name}'."


def _of_parameters(action: Action, kinds: Mapping[str, Kind]) -> Iterator[tuple[str, str]]:
    used = {name for pattern in action.patterns for name in pattern.parameters}
    chosen = [parameter.kind for parameter in action.parameters.values()]
    for name, parameter in action.parameters.items():
        if name not in used:
            yield f"parameters.{name}", "No pattern has this parameter."
        if parameter.kind not in kinds:
            yield f"parameters.{name}", f"There is no kind '{parameter.kind}'."
        if parameter.kind == "text" and any(_goes_on(name, pattern.text) for pattern in action.patterns):
            yield f"parameters.{name}", "Nothing can stand behind words to the end of the line."
        if parameter.kind == "value" and "variable" not in chosen:
            yield f"parameters.{name}", "A value belongs to a variable, and there is none."
    if isinstance(action.takes, str) and action.takes not in (*action.parameters, "make-sure"):
        yield "takes", f"There is no parameter '{action.takes}'."


def _goes_on(name: str, pattern: str) -> bool:
    return "{" + name + "}" in pattern and not pattern.endswith("{" + name + "}")


def _of_pairs(action: Action, kind_of: Mapping[str, Kind]) -> Iterator[tuple[str, str]]:
    choices = [choice for pattern in action.patterns for choice in pattern.choices]
    for one, other in combinations(choices, 2):
        if _can_be_one_line(_wants(one, kind_of), _wants(other, kind_of)):
            yield "patterns", f"A line can fit both '{' '.join(one)}' and '{' '.join(other)}'."


def _wants(choice: tuple[str, ...], kind_of: Mapping[str, Kind]) -> list[Kind | str]:
    """Give what each word of a line must be: words that are listed, or an expression."""
    wants: list[Kind | str] = []
    for token in choice:
        kind = kind_of.get(parameter_of(token))
        if kind is None:
            wants.append(Kind("", (token,), "", "", of_a_block=False))
        else:
            wants += [kind] if kind.words else kind.parts
    return wants


def _can_be_one_line(one: list[Kind | str], other: list[Kind | str]) -> bool:
    if _TEXT in (one[-1], other[-1]):
        shorter = min(len(one), len(other))
        one, other = one[:shorter], other[:shorter]
    return len(one) == len(other) and all(map(_can_be_one_word, one, other))


def _can_be_one_word(one: Kind | str, other: Kind | str) -> bool:
    """Whether one word can be both. Two expressions are taken to overlap: to say less would be a guess."""
    if isinstance(one, str):
        one, other = other, one
    if isinstance(one, str):
        return True
    if isinstance(other, str):
        return any(re.fullmatch(other, word) for word in one.words)
    return not set(one.words).isdisjoint(other.words)
