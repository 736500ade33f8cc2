"""Short lines such as `turn O1 on`, read by the patterns of their verb."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from proclint.catalogue.words import Action

_PART = re.compile(r"(\{[a-z]+\}|\[|\])")
_OPTIONAL = re.compile(r" ?\[[^\[\]]*\]")
_HELD = re.compile(r"\{([a-z]+)\}")
_WORD = re.compile(r"\S+")


@dataclass(frozen=True, slots=True)
class MatchedLine:
    """The action that a line says and the words it gives to its parameters."""

    action: Action
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Mismatch:
    """Why a line says no action.

    `kind` is `unknown-verb`, `missing-parameter`, `wrong-word` or `extra-words`; `offset` and `length` are code points inside the
    line; `expected` says in plain words what may stand there, `suggestion` is the nearest word, `pattern` the nearest pattern.
    """

    kind: str
    offset: int
    length: int
    expected: str = ""
    suggestion: str = ""
    pattern: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """What fits a parameter of a kind: words, or an expression."""

    name: str
    words: tuple[str, ...]
    expression: str

    @property
    def pattern(self) -> str:
        """A regular expression for what fits."""
        return self.expression or "|".join(map(re.escape, sorted(self.words, key=len, reverse=True)))

    @property
    def in_words(self) -> str:
        """What fits, as a person would say it."""
        if not self.words:
            return _SAID.get(self.name, f"a {self.name}")
        shown = self.words if len(self.words) <= 12 else (*self.words[:11], "...")
        return f"{', '.join(shown[:-1])} or {shown[-1]}"


_SAID = {"key": "a key such as O1", "group": "a group of keys such as O", "duration": "a time such as 2-4 s", "volts": "a voltage such as 12.3 V"}


def expression(pattern: str, action: Action, kinds: Mapping[str, Kind], names: Iterable[str]) -> re.Pattern[str]:
    """Give the regular expression of a pattern; a block's own parameter names fit wherever a value does."""
    also = "".join(f"|{re.escape(name)}" for name in sorted(names))
    parts = []
    for part in _PART.split(pattern.replace(" [", "[ ")):
        if part.startswith("{"):
            name = part[1:-1]
            parts.append(f"(?P<{name}>{kinds[action.parameters[name].kind].pattern}{also})")
        else:
            parts.append({"[": "(?:", "]": ")?"}.get(part) or re.escape(part))
    return re.compile("".join(parts))


def explain(text: str, action: Action, kinds: Mapping[str, Kind], names: frozenset[str]) -> Mismatch:
    """Say where a line leaves the nearest pattern of its verb, and what may stand there."""
    found = [_against(text, pattern, action, kinds, names) for pattern in _without_options(action)]
    return max(found, key=lambda mismatch: (mismatch.offset, mismatch.kind != "extra-words"))


def _without_options(action: Action) -> list[str]:
    """Give each pattern without and with all of its optional parts."""
    found = []
    for pattern in action.patterns:
        bare = pattern
        while _OPTIONAL.search(bare):
            bare = _OPTIONAL.sub("", bare)
        found += [bare, pattern.replace("[", "").replace("]", "")]
    return found


def _against(text: str, pattern: str, action: Action, kinds: Mapping[str, Kind], names: frozenset[str]) -> Mismatch:
    at = 0
    for token in pattern.split():
        while text[at : at + 1] == " ":
            at += 1
        held = _HELD.fullmatch(token)
        fits = _fits(token, held, action, kinds, names).match(text, at)
        if fits is None:
            return _missing_or_wrong(text, at, token, kinds[action.parameters[held[1]].kind] if held else None, pattern)
        at = fits.end()
    rest = len(text) - len(text[at:].lstrip())
    return Mismatch("extra-words", rest, len(text) - rest, pattern=pattern)


def _fits(token: str, held: re.Match[str] | None, action: Action, kinds: Mapping[str, Kind], names: frozenset[str]) -> re.Pattern[str]:
    if held is None:
        return re.compile(_HELD.sub(r".+", re.escape(token).replace(r"\{", "{").replace(r"\}", "}")) + r"(?= |$)")
    also = "".join(f"|{re.escape(name)}" for name in sorted(names))
    return re.compile(f"(?:{kinds[action.parameters[held[1]].kind].pattern}{also})(?= |$)")


def _missing_or_wrong(text: str, at: int, token: str, kind: Kind | None, pattern: str) -> Mismatch:
    expected = kind.in_words if kind is not None else f"'{token}'"
    found = _WORD.match(text, at)
    if found is None:
        return Mismatch("missing-parameter", len(text), 0, expected, "", pattern)
    near = get_close_matches(found[0], kind.words if kind is not None else (token,), 1, 0.5)
    return Mismatch("wrong-word", at, len(found[0]), expected, near[0] if near else "", pattern)
