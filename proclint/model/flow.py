"""A step graph as written: steps, their lines and their ways, in the long form only.

What a file has many of is a named tuple: it is made in a third of the time that a frozen dataclass takes.
"""

from collections.abc import Mapping
from typing import NamedTuple

from proclint.catalogue import Action, Duration
from proclint.source import Place


class Word(NamedTuple):
    """A name that a file uses, and where: a hazard, a source, a key."""

    text: str
    at: Place


class Mark(NamedTuple):
    """The opening or closing of a window, at the start or the end of its line."""

    window: str
    edge: str
    at: Place


class Line(NamedTuple):
    """One action in the catalogue's words, with what the file says of it.

    `by` is who does it, `within` milliseconds from the end of the action to the sign in `expect`, `every` the gap in
    milliseconds at which a `meanwhile` line comes again. `words` are the action's parameters. `repeat` says how often the last
    `rounds_of` lines, of which this is the last, are done.
    """

    at: Place
    text: str
    action: Action
    words: Mapping[str, str]
    by: str
    is_by_written: bool = False
    only_if: str = ""
    takes: Duration | None = None
    expect: str = ""
    within: int | None = None
    opens: tuple[Mark, ...] = ()
    closes: tuple[Mark, ...] = ()
    repeat: int = 1
    rounds_of: int = 1
    every: int | None = None
    sources: tuple[Word, ...] = ()

    @property
    def verb(self) -> str:
        """The name of the action."""
        return self.action.verb


class Way(NamedTuple):
    """An outcome, as written, and the step, ending or exit that it leads to."""

    outcome: str
    target: str
    at: Place


class Prompt(NamedTuple):
    """What the screen says word for word, what each choice does, and the answer to give."""

    at: Place
    says: str
    choices: Mapping[str, str]
    answer: str
    means: str


class Loop(NamedTuple):
    """Rounds of a step: for each key of `groups` in turn, called `letter`, or a number of `times`."""

    at: Place
    letter: str
    groups: tuple[str, ...]
    times: int


class Follow(NamedTuple):
    """A call of a shared block; `version` is 0 where none is written."""

    at: Place
    block: str
    version: int
    given: Mapping[str, tuple[str, ...]]


class Step(NamedTuple):
    """A node of the graph as written. `at` is its name in the file."""

    name: str
    at: Place
    is_fallback: bool
    instruction: str
    cautions: tuple[Word, ...]
    prompt: Prompt | None
    lines: tuple[Line, ...]
    ask: str
    follow: Follow | None
    loop: Loop | None
    meanwhile: tuple[Line, ...]
    tries: int | None
    ways: tuple[Way, ...]
    takes: Duration | None
    sources: tuple[Word, ...]

    def way(self, outcome: str) -> Way | None:
        """Give the way written for an outcome."""
        for way in self.ways:
            if way.outcome == outcome:
                return way
        return None

    @property
    def words(self) -> str:
        """What a reader sees of this step: its instruction, or its lines, question or block."""
        if self.instruction:
            return self.instruction
        if self.follow is not None:
            return f"follow {self.follow.block} {self.follow.version}".removesuffix(" 0")
        if self.ask:
            return self.ask
        return "; ".join(line.text for line in self.lines) or self.name


class Window(NamedTuple):
    """A bound on the time between its opening and its closing mark, in milliseconds; `late` takes every overrun."""

    name: str
    at: Place
    at_most: int | None
    at_least: int | None
    late: str
    sources: tuple[Word, ...]


class Caution(NamedTuple):
    """A caution of the file's own: signal word, hazard, consequence and how to avoid it."""

    name: str
    at: Place
    signal: str
    hazard: str
    consequence: str
    avoid: str
