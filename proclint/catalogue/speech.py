"""How people say in an instruction what the lines do, and how long a sentence may be: `speech.yaml` as typed values."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue.row import Row

_WORD = re.compile("[a-z]+")


class SentenceLimits(NamedTuple):
    """The most words of a command, of any other sentence and of a command while a window runs; the most sentences of a text."""

    command: int
    description: int
    timed: int
    sentences: int


class Doing(NamedTuple):
    """Something that is done: how people say it (`*` is one to three words), and the verbs of the lines that do it.

    `told`: a line of such a verb has to be told by an instruction. `on_screen`: it can be meant of the equipment's own buttons.
    """

    name: str
    says: tuple[str, ...]
    by: frozenset[str]
    told: bool
    on_screen: bool


class Question(NamedTuple):
    """What a question on a screen is about, and the choices that a yes to it may be."""

    says: tuple[str, ...]
    yes: frozenset[str]


class CautionWords(NamedTuple):
    """What the words of a caution say can happen, and how many cautions are read at one step.

    `either` is injury unless one of `things` is named and none of `people`; `empty_advice` says nothing to do.
    """

    severe: frozenset[str]
    minor: frozenset[str]
    injury: frozenset[str]
    either: frozenset[str]
    damage: frozenset[str]
    things: frozenset[str]
    people: frozenset[str]
    empty_advice: frozenset[str]
    most: int


class LampWords(NamedTuple):
    """The lamp whose change is a sign: its names, its variable with the value for dark, and what is said of it.

    `shows_itself` says how long a change lasts, `watched` stands before a lamp that is looked at. At the verbs of `lit_by` the
    ignition's own test shows it lit; behind those of `forgotten_by` what it showed counts no more.
    """

    names: tuple[str, ...]
    variable: str
    dark: str
    goes_dark: tuple[str, ...]
    lit: tuple[str, ...]
    shows_itself: tuple[str, ...]
    watched: frozenset[str]
    lit_by: frozenset[str]
    forgotten_by: frozenset[str]


class RingWords(NamedTuple):
    """What says that keys hang together, that several do, that they do not or no longer, and that it is only asked.

    `things` are what they are taken off. `read_by` are the verbs at which the vehicle reads a chip, `unless` the line has one of
    some words; behind those of `parted_by` keys lie apart.
    """

    together: tuple[str, ...]
    several: tuple[str, ...]
    things: tuple[str, ...]
    asked: tuple[str, ...]
    apart: tuple[str, ...]
    read_by: frozenset[str]
    unless: frozenset[str]
    parted_by: frozenset[str]


@dataclass(frozen=True, eq=False)
class Speech:
    """The words by which an instruction is read.

    `numbers` and `often` are words for numbers, `spoken` other forms of a line's words, `tries` the phrases that say how often
    something is tried, with how often it was done before that. `compared` are the kinds of parameter in
    which text and line may differ.
    """

    limits: SentenceLimits
    numbers: Mapping[str, int]
    often: Mapping[str, int]
    tries: Mapping[str, int]
    negations: frozenset[str]
    relatives: frozenset[str]
    seen_at_once: frozenset[str]
    tones: frozenset[str]
    besides_tones: frozenset[str]
    lamp: LampWords
    ring: RingWords
    conditions: tuple[str, ...]
    concessions: frozenset[str]
    questions_told: frozenset[str]
    turns_away: frozenset[str]
    together: tuple[str, ...]
    commands: frozenset[str]
    doings: tuple[Doing, ...]
    spoken: Mapping[str, tuple[str, ...]]
    compared: tuple[str, ...]
    unnamed_keys: tuple[str, ...]
    no_keys: tuple[str, ...]
    about_keys: frozenset[str]
    articles: frozenset[str]
    screen_keys: Mapping[str, tuple[str, ...]]
    screen_questions: tuple[Question, ...]
    screen_yes: frozenset[str]
    cautions: CautionWords

    @cached_property
    def by_first_word(self) -> Mapping[str, tuple[tuple[tuple[str, ...], Doing], ...]]:
        """The forms of each doing as words, by the first of them, the longest first."""
        forms = ((tuple(says.split()), doing) for doing in self.doings for says in doing.says)
        found: dict[str, list[tuple[tuple[str, ...], Doing]]] = {}
        for words, doing in sorted(forms, key=lambda form: -len(form[0])):
            found.setdefault(words[0], []).append((words, doing))
        return MappingProxyType({first: tuple(all_of) for first, all_of in found.items()})

    def is_tone(self, sign: str) -> bool:
        """Whether a sign is a tone alone: something is heard, and nothing is seen or felt besides."""
        said = frozenset(_WORD.findall(sign.lower()))
        return not said.isdisjoint(self.tones) and said.isdisjoint(self.besides_tones)

    @cached_property
    def told_verbs(self) -> frozenset[str]:
        """The verbs of lines of which an instruction has to tell."""
        return frozenset(verb for doing in self.doings if doing.told for verb in doing.by)

    @cached_property
    def unnamed_key(self) -> re.Pattern[str]:
        """A key that is not named, in a text of small letters."""
        return re.compile(rf"\b(?:{'|'.join(self.unnamed_keys)})\b(?! (?:{'|'.join(self.no_keys)}))")

    @cached_property
    def negation(self) -> re.Pattern[str]:
        """A word that says no, with the space before it, in a text of small letters."""
        return re.compile(rf" (?:{'|'.join(map(re.escape, sorted(self.negations)))})\b")

    @cached_property
    def all_commands(self) -> frozenset[str]:
        """The words with which a command begins."""
        return self.commands | frozenset(self.by_first_word)

    @cached_property
    def condition_words(self) -> tuple[tuple[str, ...], ...]:
        """What begins a condition, as words."""
        return tuple(tuple(each.split()) for each in self.conditions)


def speech(root: Row) -> Speech:
    """Read the words by which instructions are read. Raises CatalogueProblem for what does not fit."""
    tries, questions = root.inside("tries"), root.inside("screen-questions")
    return Speech(
        limits=SentenceLimits(**_numbers(root.inside("limits"))),
        numbers=_numbers(root.inside("numbers")),
        often=_numbers(root.inside("often")),
        tries=MappingProxyType({**dict.fromkeys(tries.texts("all"), 0), **dict.fromkeys(tries.texts("more"), 1)}),
        negations=frozenset(root.texts("negations")),
        relatives=frozenset(root.texts("relatives")),
        seen_at_once=frozenset(root.texts("seen-at-once")),
        tones=frozenset(root.inside("tones").texts("says")),
        besides_tones=frozenset(root.inside("tones").texts("unless")),
        lamp=_lamp_words(root.inside("lamp")),
        ring=_ring_words(root.inside("ring")),
        conditions=root.texts("conditions"),
        concessions=frozenset(root.texts("concessions")),
        questions_told=frozenset(root.texts("questions")),
        turns_away=frozenset(root.texts("turns-away")),
        together=root.texts("together"),
        commands=frozenset(root.texts("commands")),
        doings=tuple(_doing(row, name) for name, row in root.inside("doings").rows()),
        spoken=_lists(root.inside("spoken")),
        compared=root.texts("compared"),
        unnamed_keys=root.texts("unnamed-keys"),
        no_keys=root.texts("no-keys"),
        about_keys=frozenset(root.texts("about-keys")),
        articles=frozenset(root.texts("articles")),
        screen_keys=_lists(root.inside("screen-keys")),
        screen_questions=tuple(Question(row.texts("says"), frozenset(row.texts("yes"))) for _, row in questions.rows()),
        screen_yes=frozenset(root.texts("screen-yes")),
        cautions=_caution_words(root.inside("cautions")),
    )


def _numbers(row: Row) -> Mapping[str, int]:
    return MappingProxyType({name: int(row.needed(name)) for name in row.fields})


def _lists(row: Row) -> Mapping[str, tuple[str, ...]]:
    return MappingProxyType({name: row.texts(name) for name in row.fields})


def _lamp_words(row: Row) -> LampWords:
    return LampWords(
        names=row.texts("names"),
        variable=row.needed("variable"),
        dark=row.needed("dark"),
        goes_dark=row.texts("goes-dark"),
        lit=row.texts("lit"),
        shows_itself=row.texts("shows-itself"),
        watched=frozenset(row.texts("watched")),
        lit_by=frozenset(row.texts("lit-by")),
        forgotten_by=frozenset(row.texts("forgotten-by")),
    )


def _ring_words(row: Row) -> RingWords:
    return RingWords(
        together=row.texts("together"),
        several=row.texts("several"),
        things=row.texts("things"),
        asked=row.texts("asked"),
        apart=row.texts("apart"),
        read_by=frozenset(row.texts("read-by")),
        unless=frozenset(row.texts("unless")),
        parted_by=frozenset(row.texts("parted-by")),
    )


def _caution_words(row: Row) -> CautionWords:
    lists = (name for name in row.fields if name != "most")
    return CautionWords(**{name.replace("-", "_"): frozenset(row.texts(name)) for name in lists}, most=int(row.needed("most")))


def _doing(row: Row, name: str) -> Doing:
    return Doing(name, row.texts("says"), frozenset(row.texts("by")), row.flag("told"), row.flag("on-screen"))
