"""What a text says is done, read word by word: which doing, and with what."""

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple

from proclint.analysis.sentences import parts
from proclint.analysis.texts import own_words
from proclint.catalogue import Catalogue
from proclint.catalogue.measures import Amount
from proclint.catalogue.speech import Doing, Speech

_TOKEN = re.compile(r"[^\W\d_][\w']*(?:[.-]\w+)*|\d[\d.-]*\w*|,")
# A key, or a letter that may stand for one.
_NAME = re.compile(r"[A-Z](?:[0-9]{1,2}|\.missing)?")
_JOINING = frozenset({",", "and", "then"})
# How many words stand between the parts of "take ... out", and how far before a verb its "not" may stand.
_GAP, _BEFORE = 3, 2
# More instructions than a large library has different ones.
_KEPT = 4096


class Mention(NamedTuple):
    """That a text says that something is done.

    `small` are its words up to the next doing, in small letters with a space at either end; it stands from `start` to `end` of
    the text. `names` are those of its words that can be keys, `names_before` those of the sentence before it. `told` are the
    words of the lines that it names, by their kind, `amounts` and `counts` its numbers. `has_unnamed_key` holds where its
    sentence speaks of `the key`, `is_command` where it begins a clause.
    """

    doing: Doing
    names: tuple[str, ...]
    names_before: tuple[str, ...]
    small: str
    start: int
    end: int
    told: Mapping[str, frozenset[str]]
    amounts: tuple[Amount, ...]
    counts: tuple[tuple[int, str], ...]
    has_unnamed_key: bool
    is_command: bool

    def keys(self, letters: frozenset[str]) -> tuple[str, ...]:
        """Give the keys it names, else those that the sentence names before; `letters` are the names of groups and stand-ins."""
        named = tuple(name for name in self.names if len(name) > 1 or name in letters)
        if named or not self.names_before:
            return named
        return tuple(name for name in self.names_before if len(name) > 1 or name in letters)

    def says(self, form: str) -> bool:
        """Whether a form stands in its words."""
        return f" {form} " in self.small


@lru_cache(maxsize=_KEPT)
def mentions(text: str, catalogue: Catalogue) -> tuple[Mention, ...]:
    """Give what a text says is done; what it says is not to be done is left out. The same sentence stands in many files."""
    return tuple(each for part in parts(own_words(text)) for each in _in_part(part.text, part.start, catalogue))


def _in_part(part: str, offset: int, catalogue: Catalogue) -> Iterator[Mention]:
    tokens = list(_TOKEN.finditer(part))
    words = [token[0] for token in tokens]
    small = [word.lower() for word in words]
    speech = catalogue.speech
    starts = {at: doing for at in range(len(small)) if (doing := _doing_at(words, small, at, speech)) is not None}
    unnamed = speech.unnamed_key.search(" ".join(small)) is not None
    for at, doing in starts.items():
        if speech.negations.isdisjoint(small[max(at - _BEFORE, 0) : at]):
            end = _end(small, at, starts, speech)
            told = f" {' '.join(small[at:end])} "
            yield Mention(
                doing=doing,
                names=tuple(filter(_NAME.fullmatch, words[at:end])),
                names_before=_names_before(words, small, at, speech),
                small=told,
                start=tokens[at].start() + offset,
                end=tokens[end - 1].end() + offset,
                told=_told(told, catalogue),
                amounts=catalogue.measures.amounts(told),
                counts=catalogue.measures.counts(told),
                has_unnamed_key=unnamed,
                is_command=at == 0 or small[at - 1] in _JOINING,
            )


def _names_before(words: list[str], small: list[str], at: int, speech: Speech) -> tuple[str, ...]:
    """Give the keys of `On N1 keep ...`, `With N1 in the cylinder press ...`."""
    return tuple(words[each] for each in range(1, at) if small[each - 1] in speech.about_keys and _NAME.fullmatch(words[each]))


def _told(small: str, catalogue: Catalogue) -> Mapping[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for form, words in catalogue.forms.items():
        if form in small and _is_told(form, small, catalogue.speech):
            for kind, word in words:
                found[kind] = found.get(kind, frozenset()) | {word}
    return found


def _is_told(form: str, small: str, speech: Speech) -> bool:
    """Whether a form stands there as a word of its own: the `on` of `on the mat` is none."""
    behind = small.split(f" {form} ")[1:]
    return any(each.partition(" ")[0] not in speech.articles for each in behind)


def _end(small: list[str], at: int, starts: Mapping[int, Doing], speech: Speech) -> int:
    """Give where the words of a doing end: before the next one, another command, or what turns to something else."""
    end = next((after for after in range(at + 1, len(small)) if after in starts or _turns(small, after, speech)), len(small))
    while small[end - 1] in _JOINING:
        end -= 1
    return end


def _turns(small: list[str], at: int, speech: Speech) -> bool:
    return small[at] in speech.turns_away or (small[at] in speech.commands and small[at - 1] in _JOINING)


def _doing_at(words: list[str], small: list[str], at: int, speech: Speech) -> Doing | None:
    # In capitals it is the name of a button or the screen's own word.
    if not words[at].isupper():
        for form, doing in speech.by_first_word.get(small[at], ()):
            if _fits(form, small[at:]):
                return doing
    return None


def _fits(form: tuple[str, ...], words: list[str]) -> bool:
    if not form:
        return True
    if form[0] != "*":
        return words[:1] == [form[0]] and _fits(form[1:], words[1:])
    return any(_fits(form[1:], words[gap:]) for gap in range(1, min(_GAP, len(words)) + 1))
