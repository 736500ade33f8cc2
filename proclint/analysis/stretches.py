"""Stretches of texts whose build is read wrongly: too long, two times no, the condition last, two commands in one sentence."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from proclint.analysis.sentences import (
    Stretch,
    clauses,
    commands_in,
    condition_behind,
    is_about_a_thing,
    parts,
    sentences,
)
from proclint.analysis.texts import COMMANDS, Said, own_words, plain
from proclint.catalogue.phrases import PhraseFinder
from proclint.catalogue.speech import SentenceLimits, Speech

# The same text stands in many files, and in the next version of this one.
# More texts than a large library has different ones.
_KEPT = 4096


class Stretched(NamedTuple):
    """A stretch of a text; `number` is how much there is in it, of at most `most`: words, else sentences where `is_whole`."""

    said: Said
    start: int
    end: int
    number: int
    most: int
    is_whole: bool = False

    @property
    def text(self) -> str:
        """The stretch as it is written."""
        return self.said.text[self.start : self.end]


def stretched(said: Said, stretch: Stretch, number: int, most: int) -> Stretched:
    """Give a stretch of a text."""
    return Stretched(said, stretch.start, stretch.end, number, most)


def too_long(texts: Sequence[Said], timed: frozenset[str], limits: SentenceLimits) -> Iterator[Stretched]:
    """Find the longest sentence of each text where it has too many words, and texts of too many sentences."""
    for said in texts:
        most = limits.description
        if said.kind in COMMANDS:
            most = limits.timed if said.step is not None and said.step.name in timed else limits.command
        # A sentence of so many words has as many spaces, and so many sentences have more.
        if said.text.count(" ") >= most or said.text.count(".") > limits.sentences:
            yield from _too_long(said, most, limits)


def _too_long(said: Said, most: int, limits: SentenceLimits) -> Iterator[Stretched]:
    longest, words, number = _measured(said.text)
    if words > most:
        yield stretched(said, longest, words, most)
    elif number > limits.sentences:
        yield Stretched(said, 0, len(said.text), number, limits.sentences, is_whole=True)


@lru_cache(maxsize=_KEPT)
def _measured(text: str) -> tuple[Stretch, int, int]:
    """Give the longest sentence of a text with its words, and how many sentences there are."""
    divided = sentences(own_words(text))
    longest = max(divided, key=lambda each: each.words)
    return longest, longest.words, len(divided)


def doubled(small: str, speech: Speech) -> tuple[tuple[Stretch, int], ...]:
    """Find clauses of a text in small letters with two words that say no, and how many there are."""
    if len(speech.negation.findall(f" {small}")) < 2:
        return ()
    found = ((clause, _negations(clause, speech)) for clause in clauses(small))
    return tuple((clause, number) for clause, number in found if number > 1)


def _negations(clause: Stretch, speech: Speech) -> int:
    words = clause.text.split()
    return sum(word in speech.negations and not is_about_a_thing(words, at, speech) for at, word in enumerate(words))


def behind(said: Said, speech: Speech) -> Iterator[Stretched]:
    """Find commands of a text with their condition behind them."""
    return (stretched(said, part, 1, 0) for part in _behind(said.text, speech))


# The same sentence stands in many files.
@lru_cache(maxsize=_KEPT)
def _behind(text: str, speech: Speech) -> tuple[Stretch, ...]:
    return tuple(part for part in parts(plain(text)) if condition_behind(part.text, speech))


def crowded(said: Said, speech: Speech, finder: PhraseFinder) -> Iterator[Stretched]:
    """Find sentences that command two things which are not done together."""
    return (stretched(said, part, number, 1) for part, number in _crowded(said.text, speech, finder))


@lru_cache(maxsize=_KEPT)
def _crowded(text: str, speech: Speech, finder: PhraseFinder) -> tuple[tuple[Stretch, int], ...]:
    found = ((part, len(commands_in(part.text, speech))) for part in parts(own_words(text)))
    return tuple(
        (part, number)
        for part, number in found
        if number > 1 and not any(finder.stands_in(each, part.text.lower()) for each in speech.together)
    )
