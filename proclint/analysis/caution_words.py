"""What the words of a file's own caution say can happen, and which signal words ANSI Z535.6 has for that.

DANGER and WARNING are for death or serious injury, CAUTION for minor or moderate injury, NOTICE for things (`hazards.yaml`).
Whether something will or only could happen is not read from the words, so DANGER and WARNING are not told apart.
"""

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from typing import Literal, NamedTuple, TypeAlias

from proclint.analysis.texts import plain
from proclint.catalogue import Catalogue
from proclint.catalogue.speech import CautionWords
from proclint.model import Caution, Flow, Step, Word

Side: TypeAlias = Literal["too low", "too high"]
_SEVERITIES = {
    "severe": ("death-or-serious-injury",),
    "minor": ("minor-or-moderate-injury",),
    "injury": ("death-or-serious-injury", "minor-or-moderate-injury"),
    "damage": ("no-injury",),
}
_SENTENCE = re.compile(r"[^.!?]+")


class Misjudged(NamedTuple):
    """A caution whose signal word does not fit what its words say; `told` are those, `fitting` the nearest word that fits."""

    caution: Caution
    side: Side
    told: str
    fitting: str


def misjudged(flow: Flow, catalogue: Catalogue, side: Side) -> Iterator[Misjudged]:
    """Give the file's own cautions whose signal word is too low or too high."""
    ranks = tuple(dict.fromkeys(catalogue.signal_words.values()))
    for caution in flow.cautions.values():
        grade, told = _told(f"{caution.hazard}\n{caution.consequence}", catalogue)
        fitting = [
            ranks.index(word) for (severity, _), word in catalogue.signal_words.items() if severity in _SEVERITIES.get(grade, ())
        ]
        rank = ranks.index(caution.signal.upper())
        if fitting and side == "too low" and rank > max(fitting):
            yield Misjudged(caution, side, told, ranks[max(fitting)].lower())
        if fitting and side == "too high" and rank < min(fitting):
            yield Misjudged(caution, side, told, ranks[min(fitting)].lower())


def _told(text: str, catalogue: Catalogue) -> tuple[str, str]:
    """Give how grave the words of a text are, the gravest first, and the word that says it; nothing where none does."""
    words = catalogue.speech.cautions
    small = plain(text)
    of_people = "\n".join(each for each in _SENTENCE.findall(small) if _is_of_people(each, words))
    found = [
        ("severe", _first(words.severe, small)),
        ("injury", _first(words.injury, small) or _first(words.either, of_people)),
        ("minor", _first(words.minor, small)),
        ("damage", _first(words.damage, small) if not _first(words.people, small) else ""),
    ]
    return next(((grade, told) for grade, told in found if told), ("", ""))


def _is_of_people(sentence: str, words: CautionWords) -> bool:
    """Whether a sentence speaks of people, or of nothing that can break."""
    return bool(_first(words.people, sentence)) or not _first(words.things, sentence)


def _first(words: frozenset[str], text: str) -> str:
    found = _any_of(words).search(text)
    return found[0] if found else ""


@cache
def _any_of(words: frozenset[str]) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, sorted(words, key=len, reverse=True)))})\b")


def incomplete(flow: Flow, catalogue: Catalogue) -> Iterator[tuple[Caution, str]]:
    """Give the file's own cautions of which a part says nothing, or only what another says, with the name of its field."""
    empty = catalogue.speech.cautions.empty_advice
    for caution in flow.cautions.values():
        if _only(empty, caution.avoid):
            yield caution, "avoid"
        elif _only(empty, caution.hazard):
            yield caution, "hazard"
        elif _bare(caution.consequence) in (_bare(caution.hazard), _bare(caution.avoid)) or _only(empty, caution.consequence):
            yield caution, "consequence"


def _only(phrases: frozenset[str], text: str) -> bool:
    """Whether each sentence of a text is one of some phrases."""
    return all(_bare(sentence) in phrases for sentence in _SENTENCE.findall(text) if _bare(sentence))


def _bare(text: str) -> str:
    return " ".join(re.findall(r"[\w'-]+", text.lower()))


def out_of_order(flow: Flow, catalogue: Catalogue) -> Iterator[tuple[Step, Word, Word]]:
    """Give the steps at which a lesser caution stands directly before a graver one, with both."""
    signals = {name: hazard.signal for name, hazard in catalogue.hazards.items()}
    signals |= {name: caution.signal for name, caution in flow.cautions.items()}
    ranks = tuple(dict.fromkeys(catalogue.signal_words.values()))
    for step in flow.steps.values():
        ranked = [(ranks.index(signals[word.text].upper()), word) for word in step.cautions if word.text in signals]
        for (lesser, before), (graver, after) in pairwise(ranked):
            if lesser > graver:
                yield step, before, after
                break
