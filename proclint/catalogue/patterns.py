"""The form of a short line, such as `press {switch} [{times} times [each {each}]]`."""

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import product
from typing import NamedTuple

_TOKEN = re.compile(r"[\[\]]|[^\s\[\]]+")


class Kind(NamedTuple):
    """What fits a parameter of a kind: words, or an expression; `says` names it in a message.

    With `of_a_block` a block's own parameter may stand there instead.
    """

    name: str
    words: tuple[str, ...]
    matches: str
    says: str
    of_a_block: bool

    @property
    def expression(self) -> str:
        """A regular expression for what fits."""
        return self.matches or "|".join(map(re.escape, self.words))

    @property
    def parts(self) -> tuple[str, ...]:
        """An expression for each of the words, divided by spaces, of which it consists."""
        return tuple(self.matches.split(" ")) if self.matches else (self.expression,)

    @property
    def in_words(self) -> str:
        """What fits, as a person would say it."""
        return self.says or listed(self.words)

    def fits(self, word: str, names: frozenset[str]) -> bool:
        """Whether a word may stand there; `names` are a block's own parameters."""
        return (self.of_a_block and word in names) or re.fullmatch(self.expression, word) is not None


def listed(words: tuple[str, ...]) -> str:
    """Join words as a person would: `a, b or c`; no words give no text."""
    return " or ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


class Pattern(NamedTuple):
    """A form as written: words stand for themselves, {name} for a parameter, [ ... ] may be left out."""

    text: str

    def __str__(self) -> str:
        return self.text

    @property
    def verb(self) -> str:
        """The first word."""
        return self.text.partition(" ")[0]

    @property
    def parameters(self) -> tuple[str, ...]:
        """The names of its parameters, in order."""
        return tuple(re.findall(r"\{([a-z]+)\}", self.text))

    @property
    def choices(self) -> tuple[tuple[str, ...], ...]:
        """Its words with every optional part taken and left out, the shortest first."""
        return _choices(self.text)

    @property
    def is_whole(self) -> bool:
        """Whether every bracket has its other half."""
        depth = 0
        for token in _TOKEN.findall(self.text):
            depth += {"[": 1, "]": -1}.get(token, 0)
            if depth < 0:
                return False
        return depth == 0

    @property
    def wanted(self) -> tuple[tuple[str, ...], ...]:
        """The parameters of each of its choices."""
        return tuple(tuple(filter(None, map(parameter_of, choice))) for choice in self.choices)

    def expression(self, kind_of: Mapping[str, Kind], names: frozenset[str]) -> re.Pattern[str]:
        """Give the regular expression for whole lines; `kind_of` is the kind of each parameter."""
        also = "".join(f"|{re.escape(name)}" for name in sorted(names))
        return re.compile("".join(_parts(self.text, kind_of, also)))


def _parts(text: str, kind_of: Mapping[str, Kind], also: str) -> Iterator[str]:
    gap = ""
    for token in _TOKEN.findall(text):
        if token in "[]":
            yield "(?:" if token == "[" else ")?"
            continue
        if token.startswith("{"):
            kind = kind_of[token[1:-1]]
            yield f"{gap}(?P<{parameter_of(token)}>{kind.expression}{also if kind.of_a_block else ''})"
        else:
            yield gap + re.escape(token)
        gap = " +"


def parameter_of(token: str) -> str:
    """Give the name inside the braces of a parameter; nothing for a word that stands for itself."""
    return token[1:-1] if token.startswith("{") else ""


@lru_cache(maxsize=1024)
def _choices(text: str) -> tuple[tuple[str, ...], ...]:
    found, _ = _sequence(_TOKEN.findall(text))
    return tuple(sorted(found, key=len))


def _sequence(tokens: list[str]) -> tuple[list[tuple[str, ...]], list[str]]:
    """Read up to the end or to a closing bracket; give the choices and what stands behind it."""
    found: list[tuple[str, ...]] = [()]
    while tokens:
        token, *tokens = tokens
        if token == "]":
            break
        options: list[tuple[str, ...]] = [(token,)]
        if token == "[":
            inner, tokens = _sequence(tokens)
            options = [(), *inner]
        found = [before + after for before, after in product(found, options)]
    return found, tokens
