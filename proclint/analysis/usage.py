"""Names that are declared and not used, and names that are used and not declared."""

import re
from collections.abc import Collection, Iterator
from functools import lru_cache
from typing import NamedTuple

from proclint.analysis.conditions import Condition, read_condition
from proclint.catalogue import Action, Catalogue
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
    for step in flow.steps.values():
        for caution in step.cautions:
            if caution.text not in flow.cautions and caution.text not in catalogue.hazards:
                yield Undeclared("caution", caution.text, caution.at, (*flow.cautions, *catalogue.hazards))
        for line in _lines_of(step):
            yield from _of_line(line, step, flow)
        if step.loop is not None or step.follow is not None:
            yield from _of_groups(step, flow)
    yield from _of_conditions(flow, catalogue)
    yield from _of_states(flow, catalogue)


def _lines_of(step: Step) -> tuple[Line, ...]:
    return step.lines + step.meanwhile


def _of_line(line: Line, step: Step, flow: Flow) -> Iterator[Undeclared]:
    for name, word in line.words.items():
        key = _key_in(word)
        # Most words do not even look like a key.
        if key is not None and _tells_key(name, line.action) and not _is_there(*key, step, flow):
            yield Undeclared("key", word, line.at, _letters(step, flow))
    for mark in (*line.opens, *line.closes) if line.opens or line.closes else ():
        if mark.window not in flow.windows:
            yield Undeclared("window", mark.window, mark.at, tuple(flow.windows))


def _tells_key(name: str, action: Action) -> bool:
    """Whether a word of an action names a key or a group of keys."""
    return name in action.parameters and action.parameters[name].kind in _KEYS


@lru_cache(maxsize=4096)
def _key_in(word: str) -> tuple[str, str] | None:
    """Read a key: its letter, and its number where it has one."""
    found = _KEY.fullmatch(word)
    return (found[1], found[2]) if found is not None else None


def _of_groups(step: Step, flow: Flow) -> Iterator[Undeclared]:
    """Find the groups of a loop and the keys given to a block that nobody has."""
    named = [(word, step.loop.at) for word in step.loop.groups] if step.loop is not None else []
    if step.follow is not None:
        named += [(word, step.at / "given" / name) for name, words in step.follow.given.items() for word in words]
    for word, place in named:
        key = _key_in(word)
        if key is not None and not _is_there(*key, step, flow):
            yield Undeclared("key", word, place, _letters(step, flow))


def _of_conditions(flow: Flow, catalogue: Catalogue) -> Iterator[Undeclared]:
    """Find counts that are compared and never read, words that are compared with counts, and conditions that are none."""
    found = list(_conditions_of(flow, catalogue))
    if not found:
        return
    words = [line.words for step in flow.steps.values() for line in step.lines]
    kinds = catalogue.kinds["kind"].words
    counts = (
        *sorted({each["name"] for each in words if "name" in each}),
        *_counts_of(frozenset((*kinds, *_declared(flow))), kinds),
    )
    known = {*counts, *(flow.given if isinstance(flow, Block) else ())}
    for condition, text, at in found:
        if condition is None:
            yield Undeclared("condition", text, at, ())
            continue
        for name in sorted(condition.names - known):
            yield _no_count(name, at, counts, catalogue)


@lru_cache(maxsize=512)
def _counts_of(owners: frozenset[str], kinds: tuple[str, ...]) -> tuple[str, ...]:
    """Give the names of the counts that kinds of key and groups of keys have."""
    return tuple(f"{owner}.{part}" for owner in sorted(owners) for part in (_OF_KIND if owner in kinds else _OF_GROUP))


def _conditions_of(flow: Flow, catalogue: Catalogue) -> Iterator[tuple[Condition | None, str, Place]]:
    """Give the conditions of the ways, and those of the lines also where they are none, each with its text and place."""
    for step in flow.steps.values():
        for way in step.ways if not step.ask and not step.follow else ():
            condition = read_condition(way.outcome, catalogue)
            if condition is not None:
                yield condition, way.outcome, (step.at / "ways").key(way.outcome)
        for line in _lines_of(step):
            if line.only_if:
                yield read_condition(line.only_if, catalogue), line.only_if, line.at


def _no_count(name: str, at: Place, known: tuple[str, ...], catalogue: Catalogue) -> Undeclared:
    """Say whether what is compared as a count is a word, which no count ever is, or a count that nobody has read."""
    is_word = name in catalogue.variables or any(name in variable.values for variable in catalogue.variables.values())
    return Undeclared("word" if is_word else "count", name, at, known)


def _letters(step: Step, flow: Flow) -> tuple[str, ...]:
    """Give the letters that a step may use, in order."""
    own = (step.loop.letter,) if step.loop is not None else ()
    return tuple(sorted({*own, *_declared(flow)}))


def _declared(flow: Flow) -> Collection[str]:
    return flow.given if isinstance(flow, Block) else flow.keys


def _is_there(letter: str, number: str, step: Step, flow: Flow) -> bool:
    if letter not in _declared(flow) and (step.loop is None or step.loop.letter != letter):
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
    lines = [line for step in flow.steps.values() for line in _lines_of(step)]
    marked = {mark.window for line in lines if line.opens or line.closes for mark in (*line.opens, *line.closes)}
    shown = {caution.text for step in flow.steps.values() for caution in step.cautions}
    for window in flow.windows.values():
        if window.name not in marked:
            yield "window", window.name, window.at
    for caution in flow.cautions.values():
        if caution.name not in shown:
            yield "caution", caution.name, caution.at
    letters = _named(flow)
    if isinstance(flow, Procedure):
        letters |= {letter for word in flow.start.values() for letter in _LETTER.findall(word.text)}
        for group in flow.keys.values():
            if group.letter not in letters:
                yield "group of keys", group.letter, group.at
    else:
        for name in flow.given:
            if name not in letters:
                yield "parameter", name, flow.at


def _named(flow: Flow) -> set[str]:
    """Give the letters and names that a file uses: in its lines, loops and ways and in what it gives to blocks."""
    words = {way.outcome for step in flow.steps.values() for way in step.ways}
    lines = [line for step in flow.steps.values() for line in _lines_of(step)]
    words.update([word for line in lines for word in line.words.values()], [line.only_if for line in lines])
    for step in flow.steps.values():
        if step.loop is not None:
            words.update(step.loop.groups)
        if step.follow is not None:
            words.update(*step.follow.given.values())
    return words.union(*map(_letters_of, words))


@lru_cache(maxsize=4096)
def _letters_of(word: str) -> tuple[str, ...]:
    return tuple(_LETTER.findall(word))
