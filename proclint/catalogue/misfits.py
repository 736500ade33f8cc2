"""Where a line leaves the patterns of its verb, and what may stand there."""

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.catalogue.entries import Action
from proclint.catalogue.lines import Mismatch
from proclint.catalogue.nearest import nearest, nearest_fit
from proclint.catalogue.patterns import Kind, Pattern, parameter_of

_WORD = re.compile(r"\S+")


class _Slot(NamedTuple):
    """One word that a pattern wants: a fixed one, or one part of what its parameter's kind wants."""

    parameter: str
    kind: Kind | None
    part: int
    word: str

    def fits(self, word: str, names: frozenset[str]) -> bool:
        if self.kind is None:
            return word == self.word
        return re.fullmatch(self.kind.parts[self.part], word) is not None or self.is_named(word, names)

    def is_named(self, word: str, names: frozenset[str]) -> bool:
        """Whether a block's own parameter stands here for the whole of it."""
        return self.kind is not None and self.kind.of_a_block and self.part == 0 and word in names

    @property
    def expected(self) -> str:
        return self.kind.in_words if self.kind is not None else f"'{self.word}'"

    def near(self, word: str) -> str:
        if self.kind is None:
            return nearest(word, (self.word,))
        return nearest_fit(word, self.kind, self.part)


class _Stop(NamedTuple):
    """How far a line goes with one form of a pattern; `slot` stops it, none where words are left over."""

    reached: int
    slot: _Slot | None
    pattern: Pattern


def explain(text: str, action: Action, kind_of: Mapping[str, Kind], names: frozenset[str]) -> Mismatch:
    """Say where a line that fits no pattern of its verb leaves the nearest one."""
    found = list(_WORD.finditer(text))
    words = [word[0] for word in found]
    stops = [_stop(words, _slots(choice, kind_of), pattern, names) for pattern in action.patterns for choice in pattern.choices]
    furthest = max(stop.reached for stop in stops)
    stops = [stop for stop in stops if stop.reached == furthest]
    if furthest == len(words):
        return _mismatch("missing-parameter", (len(text), 0), stops, "")
    start, end = found[furthest].span()
    near = next((word for word in (_near(stop, words[furthest]) for stop in stops) if word), "")
    if near or all(stop.slot for stop in stops):
        return _mismatch("wrong-word", (start, end - start), stops, near)
    return _mismatch("extra-words", (start, found[-1].end() - start), stops, "")


def _stop(words: list[str], slots: list[_Slot], pattern: Pattern, names: frozenset[str]) -> _Stop:
    at, waiting = 0, iter(slots)
    for slot in waiting:
        if at == len(words) or not slot.fits(words[at], names):
            return _Stop(at, slot, pattern)
        if slot.is_named(words[at], names):
            _skip_rest(slot, waiting)
        at += 1
    return _Stop(at, None, pattern)


def _skip_rest(slot: _Slot, waiting: Iterator[_Slot]) -> None:
    for _ in range(len(slot.kind.parts) - 1 if slot.kind is not None else 0):
        next(waiting)


def _slots(choice: tuple[str, ...], kind_of: Mapping[str, Kind]) -> list[_Slot]:
    slots = []
    for token in choice:
        name = parameter_of(token)
        if name:
            slots += [_Slot(name, kind_of[name], part, "") for part in range(len(kind_of[name].parts))]
        else:
            slots.append(_Slot("", None, 0, token))
    return slots


def _near(stop: _Stop, word: str) -> str:
    return stop.slot.near(word) if stop.slot is not None else ""


def _mismatch(kind: str, span: tuple[int, int], stops: list[_Stop], near: str) -> Mismatch:
    slots = [stop.slot for stop in stops if stop.slot is not None]
    expected = tuple(dict.fromkeys(slot.expected for slot in slots))
    if kind == "extra-words":
        expected = ("nothing more", *expected)
    parameters = {slot.parameter for slot in slots}
    parameter = parameters.pop() if len(parameters) == 1 else ""
    nearest_pattern = next((stop.pattern for stop in stops if stop.slot), stops[0].pattern)
    return Mismatch(kind, *span, ", or ".join(expected), near, nearest_pattern.text, parameter)
