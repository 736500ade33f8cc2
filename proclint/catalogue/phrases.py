"""Finding many phrases in a text at once: cheap where none of them stands in it, which is the usual case."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache

_PUNCTUATION = str.maketrans(dict.fromkeys('\n.,;:!?()[]{}"\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}/', " "))
_A_WORD = re.compile(r"[a-z][a-z'-]*")


class PhraseFinder:
    """Finds phrases that stand in a text as whole words, `#` in them standing for a number in figures or words.

    Every phrase is filed under one of its words, and only those filed under a word of the text are looked for.
    """

    def __init__(self, phrases: Iterable[str], numbers: Mapping[str, int]) -> None:
        self._phrases = tuple(dict.fromkeys(phrases))
        self._number = "|".join(numbers)
        self._expression = lru_cache(maxsize=None)(self._compiled)

    @cached_property
    def _by_word(self) -> Mapping[str, tuple[tuple[str, str, frozenset[str]], ...]]:
        """The phrases by their longest word, each with its longest piece that holds no number and with all its words."""
        filed: dict[str, list[tuple[str, str, frozenset[str]]]] = defaultdict(list)
        for phrase in self._phrases:
            words = _A_WORD.findall(phrase)
            filed[max(reversed(words), key=len)].append((phrase, max(phrase.split("#"), key=len), frozenset(words)))
        return {word: tuple(phrases) for word, phrases in filed.items()}

    def spans(self, text: str) -> Iterator[tuple[int, int, str]]:
        """Give start, end and phrase of each that stands in a text of small letters, in no order; they may overlap."""
        by_word = self._by_word
        there = set(text.translate(_PUNCTUATION).split())
        for word in by_word.keys() & there:
            for phrase, piece, words in by_word[word]:
                if words <= there and piece in text:
                    yield from self._spans_of(phrase, text)

    def _spans_of(self, phrase: str, text: str) -> Iterator[tuple[int, int, str]]:
        return ((found.start(), found.end(), phrase) for found in self._expression(phrase).finditer(text))

    def _compiled(self, phrase: str) -> re.Pattern[str]:
        # What stands before is looked at last where it can be: the search for a fixed beginning is ten times as fast.
        first, *rest = phrase.split("#")
        number = rf"(?:[0-9]+(?:[.-][0-9]+)*|{self._number})"
        behind = "".join(number + re.escape(each) for each in rest)
        begin = rf"{re.escape(first)}(?<![\w-]{re.escape(first)})" if first else r"(?<![\w-])"
        return re.compile(rf"{begin}{behind}(?![\w-])")

    def stands_in(self, phrase: str, text: str) -> bool:
        """Whether a phrase stands in a text of small letters."""
        piece = max(phrase.split("#"), key=len)
        return piece in text and self._expression(phrase).search(text) is not None


def in_small_letters(text: str) -> str:
    """Give a text in small letters, each at its place."""
    small = text.lower()
    if len(small) == len(text):
        return small
    return "".join(each.lower() if len(each.lower()) == 1 else each for each in text)
