"""Names that are declared and not used, and names that are used and not declared."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from proclint.analysis.conditions import read_condition
from proclint.catalogue import Catalogue
from proclint.model import Block, Flow, Line, Procedure, Step
from proclint.source import Place

_KEY = re.compile(r"([A-Z])([0-9]{0,2})(\.missing)?")
# The kinds of parameters that name a key or a group of keys.
_KEYS = frozenset({"key", "group"})
_OF_KIND = ("used", "free")
_OF_GROUP = ("here", "away")
_LETTER = re.compile(r"\b([A-Z])(?:[0-9]{0,2})\b")


class Undeclared(NamedTuple):
    """A name that is used and not declared: what it should name, where it stands and which names would do."""

    what: str
    name: str
    at: Place
    known: tuple[str, ...]


def undeclared(flow: Flow, catalogue: Catalogue) -> Iterator[Undeclared]:
    """Give the keys, windows, cautions, variables and values that a file uses and that are nowhere declared."""
    cautions = (*flow.cautions, *catalogue.hazards)
    for step in flow.steps.values():
        for caution in step.cautions:
            if caution.text not in cautions:
                yield Undeclared("caution", caution.text, caution.at, cautions)
        for line in (*step.lines, *step.meanwhile):
            yield from _of_line(line, step, flow)
        yield from _of_groups(step, flow)
    yield from _of_conditions(flow, catalogue)
    yield from _of_states(flow, catalogue)


def _of_line(line: Line, step: Step, flow: Flow) -> Iterator[Undeclared]:
    for name, word in line.words.items():
        parameter = line.action.parameters.get(name)
        key = _KEY.fullmatch(word) if parameter is not None and parameter.kind in _KEYS else None
        if key is not None and not _is_there(key[1], key[2], letters := _letters(step, flow), flow):
            yield Undeclared("key", word, line.at, tuple(sorted(letters)))
    for mark in (*line.opens, *line.closes) if line.opens or line.closes else ():
        if mark.window not in flow.windows:
            yield Undeclared("window", mark.window, mark.at, tuple(flow.windows))


def _of_groups(step: Step, flow: Flow) -> Iterator[Undeclared]:
    """Find the groups of a loop and the keys given to a block that nobody has."""
    named = [(word, step.loop.at) for word in step.loop.groups] if step.loop is not None else []
    if step.follow is not None:
        named += [(word, step.at / "given" / name) for name, words in step.follow.given.items() for word in words]
    letters = _letters(step, flow) if named else frozenset[str]()
    for word, place in named:
        key = _KEY.fullmatch(word)
        if key is not None and not _is_there(key[1], key[2], letters, flow):
            yield Undeclared("key", word, place, tuple(sorted(letters)))


def _of_conditions(flow: Flow, catalogue: Catalogue) -> Iterator[Undeclared]:
    """Find counts that are compared and never read, words that are compared with counts, and conditions that are none."""
    lines = [line for step in flow.steps.values() for line in step.lines]
    read = {word for line in lines for name, word in line.words.items() if name == "name"}
    kinds = catalogue.kinds["kind"].words
    owners = {*kinds, *(flow.given if isinstance(flow, Block) else flow.keys)}
    known = (
        *sorted(read),
        *(f"{owner}.{part}" for owner in sorted(owners) for part in (_OF_KIND if owner in kinds else _OF_GROUP)),
    )
    given = {*known, *(flow.given if isinstance(flow, Block) else ())}
    for step in flow.steps.values():
        for way in step.ways if not step.ask and not step.follow else ():
            condition = read_condition(way.outcome, catalogue)
            for name in sorted(condition.names - given) if condition is not None else ():
                yield _no_count(name, (step.at / "ways").key(way.outcome), known, catalogue)
        for line in (*step.lines, *step.meanwhile):
            if line.only_if:
                condition = read_condition(line.only_if, catalogue)
                if condition is None:
                    yield Undeclared("condition", line.only_if, line.at, ())
                for name in sorted(condition.names - given if condition is not None else ()):
                    yield _no_count(name, line.at, known, catalogue)


def _no_count(name: str, at: Place, known: tuple[str, ...], catalogue: Catalogue) -> Undeclared:
    """Say whether what is compared as a count is a word, which no count ever is, or a count that nobody has read."""
    is_word = name in catalogue.variables or any(name in variable.values for variable in catalogue.variables.values())
    return Undeclared("word" if is_word else "count", name, at, known)


def _letters(step: Step, flow: Flow) -> frozenset[str]:
    own = frozenset({step.loop.letter} if step.loop is not None else ())
    return own | frozenset(flow.given if isinstance(flow, Block) else flow.keys)


def _is_there(letter: str, number: str, letters: frozenset[str], flow: Flow) -> bool:
    if letter not in letters:
        return False
    group = flow.keys.get(letter) if isinstance(flow, Procedure) else None
    return group is None or not number or 1 <= int(number) <= group.here[1] + group.away[1]


def _of_states(flow: Flow, catalogue: Catalogue) -> Iterator[Undeclared]:
    for name, word in (flow.start if isinstance(flow, Procedure) else flow.before).items():
        variable = catalogue.variables.get(name)
        if variable is None:
            yield Undeclared("variable", name, word.at, tuple(catalogue.variables))
        elif variable.values and word.text not in variable.values and not _KEY.fullmatch(word.text) and not word.text.isdigit():
            yield Undeclared("value", word.text, word.at, variable.values)


def unused(flow: Flow) -> Iterator[tuple[str, str, Place]]:
    """Give what a file declares and uses nowhere: what it is, its name and place."""
    lines = [line for step in flow.steps.values() for line in (*step.lines, *step.meanwhile)]
    marked = {mark.window for line in lines for mark in (*line.opens, *line.closes)}
    shown = {caution.text for step in flow.steps.values() for caution in step.cautions}
    for window in flow.windows.values():
        if window.name not in marked:
            yield "window", window.name, window.at
    for caution in flow.cautions.values():
        if caution.name not in shown:
            yield "caution", caution.name, caution.at
    letters = set().union(*map(_named, flow.steps.values()))
    if isinstance(flow, Procedure):
        letters |= {letter for word in flow.start.values() for letter in _LETTER.findall(word.text)}
        for group in flow.keys.values():
            if group.letter not in letters:
                yield "group of keys", group.letter, group.at
    else:
        for name in flow.given:
            if name not in letters:
                yield "parameter", name, flow.at


def _named(step: Step) -> set[str]:
    """Give the letters and names that a step uses: in its lines, its loop, its ways and what it gives to a block."""
    words = [word for line in (*step.lines, *step.meanwhile) for word in (*line.words.values(), line.only_if)]
    words += [way.outcome for way in step.ways]
    if step.loop is not None:
        words += step.loop.groups
    if step.follow is not None:
        words += [word for given in step.follow.given.values() for word in given]
    return set(words).union(*map(_letters_of, words))


@lru_cache(maxsize=4096)
def _letters_of(word: str) -> tuple[str, ...]:
    return tuple(_LETTER.findall(word))
