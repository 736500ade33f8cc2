"""Sentences: how they are divided and counted, and what in their build is read wrongly.

The rules are those of ASD-STE100 Issue 9 (5.1, 5.2, 5.4, 5.5, 6.3 and 6.6), as far as they are known to us. A word is what
stands between spaces and holds a letter or digit, so that one with a hyphen counts as one (from memory, its section 8).
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from proclint.catalogue.speech import Speech

_END = re.compile(r"[.!?]+(?=\s|$)")
_CLAUSE = re.compile(r"[.!?;:,]+(?=\s|$)|\b(?:and|or|but|then)\b")
_PART = re.compile(r"[.!?;:]+(?=\s|$)")
_WORD = re.compile(r"\w[\w'.-]*|[,]")
_NEAR = 3
_JOINING = frozenset({",", "and", "then"})


class Stretch(NamedTuple):
    """A part of a text, with its start and end in it."""

    text: str
    start: int
    end: int

    @property
    def words(self) -> int:
        """How many words it has."""
        return sum(any(each.isalnum() or each == "_" for each in word) for word in self.text.split())


def sentences(text: str) -> list[Stretch]:
    """Divide a text at full stops, question and exclamation marks."""
    return list(_divided(text, _END))


def clauses(text: str) -> list[Stretch]:
    """Divide a text at every mark and at the words that join clauses."""
    return list(_divided(text, _CLAUSE))


def parts(text: str) -> list[Stretch]:
    """Divide a text at all marks but commas."""
    return list(_divided(text, _PART))


def _divided(text: str, at: re.Pattern[str]) -> Iterator[Stretch]:
    start = 0
    for found in at.finditer(text):
        yield from _stripped(text, start, found.start())
        start = found.end()
    yield from _stripped(text, start, len(text))


def _stripped(text: str, start: int, end: int) -> Iterator[Stretch]:
    inner = text[start:end]
    before = len(inner) - len(inner.lstrip())
    stripped = inner.strip()
    if stripped:
        yield Stretch(stripped, start + before, start + before + len(stripped))


def condition_behind(part: str, speech: Speech) -> bool:
    """Whether a part of a text in small letters begins with a command and ends with the condition for it (STE rule 5.4)."""
    words = [word for word in _WORD.findall(part) if word != ","]
    if words[:1] == ["then"]:
        del words[0]
    if not words or words[0] not in speech.all_commands:
        return False
    return any(_is_condition(words, at, speech) for at in range(1, len(words)))


def _is_condition(words: list[str], at: int, speech: Speech) -> bool:
    begins = any(tuple(words[at : at + len(each)]) == each for each in speech.condition_words)
    return begins and words[at - 1] not in speech.concessions and not speech.questions_told.intersection(words[:at])


def commands_in(part: str, speech: Speech) -> tuple[str, ...]:
    """Give the words of a part that command: what begins it, and what stands behind a comma, 'and' or 'then' (STE rule 5.2).

    Words in capitals are a button's or the screen's.
    """
    words = _WORD.findall(part)
    found = []
    for before, word in zip([",", *words], words, strict=False):
        if before.lower() in _JOINING and word.lower() in speech.all_commands and not word.isupper():
            found.append(word)
    return tuple(found)


def is_about_a_thing(words: list[str], at: int, speech: Speech) -> bool:
    """Whether the word at `at` is said of a thing, as 'not' in 'keys that are not here'."""
    return not speech.relatives.isdisjoint(words[max(at - _NEAR, 0) : at])
