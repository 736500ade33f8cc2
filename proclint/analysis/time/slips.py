"""What is wrong with the times of single lines and texts, found in one pass over a file.

Which words tell of a movement that is kept or done again is common practice, no source.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.texts import Said
from proclint.analysis.time.lengths import Length
from proclint.analysis.time.parts import Pace, is_given
from proclint.catalogue import Duration, read_duration
from proclint.model import Line, Step
from proclint.source import Place

_BUTTONS = frozenset({"press", "keep"})
_ACT, _TAP, _WAIT, _TECHNICIAN = "act", "tap", "wait-", "technician"
_LOOKED_AT = _BUTTONS | {_ACT}
_SESSION = "session = open"
# What facts tables say of sessions.
_TIMEOUT, _KEPT_UP_BY, _TOOL = "session-timeout", "session-keepalive", "tool"
# Two may be one quick movement; from three on a person falls into a rhythm, and only the vehicle knows which is right.
_RHYTHM = 3
_SENTENCE = re.compile(r"[^.;]+")
_TIME = re.compile(r"\b[0-9][0-9.]*(?: ?(?:-|to) ?[0-9.]+)? ?(?:s|sec|seconds?|min|minutes?)\b")
_COUNT = re.compile(r"\b(?:once|twice|times)\b")
# What is kept until or while something else happens says by that how long.
_KEPT = re.compile(r"\bkeep(?:ing)?\b(?!.*\b(?:pedal|brake|clutch|until|while)\b).*\b(?:pressed|down)\b", re.IGNORECASE)
_OVER_AND_OVER = r"repeatedly|again and again|over and over|(?:many|any number of) times|keep (?:turning|pressing)"
_MOVED_AGAIN = re.compile(rf"\b(?:{_OVER_AND_OVER})\b", re.IGNORECASE)
_AGAIN = re.compile(rf"\b(?:{_OVER_AND_OVER}|repeat(?! (?:the (?:steps|procedure)|as needed)\b))\b", re.IGNORECASE)
_TO_AND_FRO = re.compile(r"\b(?:on ?(?:/|-|and) ?off|off ?(?:/|-|and) ?on)\b.*(?:times|twice)\b", re.IGNORECASE)
_ENDS = re.compile(r"\b(?:end|ends|ending|leave|last|finally|then (?:on|off))\b", re.IGNORECASE)
_WORTH_A_LOOK = re.compile(r"keep|repeat|again and|over and|times|twice", re.IGNORECASE)
_UNTIL = re.compile(r"\b(?:wait(?:ing)?\b.*\b(?:until|for)|keep(?:ing)?\b.*\b(?:pressed|down)\b.*\buntil)\b", re.IGNORECASE)


class Slip(NamedTuple):
    """Something that is wrong: where it stands, in which step, and the words that show it.

    `said` and `known` are times in milliseconds: what the file says, and what it is held against.
    """

    at: Place
    step: str
    words: str
    said: int = 0
    known: int = 0


class Slips:
    """The slips of one file, by kind."""

    def __init__(self, written: Written, pace: Pace, shelf: Shelf) -> None:
        self.written = written
        self.pace = pace
        self.shelf = shelf

    def of(self, kind: str) -> tuple[Slip, ...]:
        """Give the slips of a kind, in file order."""
        return tuple(self._all.get(kind, ()))

    @cached_property
    def _all(self) -> Mapping[str, list[Slip]]:
        found: dict[str, list[Slip]] = defaultdict(list)
        for step in self.written.flow.steps.values():
            for line in step.lines:
                for kind, slip in self._of_line(line, step) if _may_slip(line) else ():
                    found[kind].append(slip)
            if step.instruction:
                for kind, slip in _of_text(Said(step.instruction, "instruction", step.at, step), step):
                    found[kind].append(slip)
        return found

    def _of_line(self, line: Line, step: Step) -> Iterator[tuple[str, Slip]]:
        here = Slip(line.at, step.name, line.text)
        if line.within is not None and not line.expect:
            yield "no-sign", here._replace(said=line.within)
        if line.is_by_written and line.by == _TECHNICIAN != line.action.actor:
            yield "not-his-time", here
        elif line.verb.startswith(_WAIT) and is_given(line):
            yield from self._of_wait(line, step, here)
        if line.takes is not None and line.takes.least < (floor := self._floor(line)):
            yield "too-quick", here._replace(said=line.takes.least, known=floor)
        if line.verb in _BUTTONS:
            yield from self._of_press(line, step, here)
        elif line.verb == _ACT:
            yield from _of_act(line, step, here)

    def _floor(self, line: Line) -> int:
        """Give the least time of the catalogue for what a hand does; free words have none."""
        is_free = any(each.kind == "text" for each in line.action.parameters.values())
        if is_free or is_given(line) or not isinstance(line.action.takes, Duration):
            return 0
        return self.pace.line(line._replace(takes=None)).least

    def _of_press(self, line: Line, step: Step, here: Slip) -> Iterator[tuple[str, Slip]]:
        times = line.words.get("times", "")
        if times.isdigit() and int(times) >= _RHYTHM and "each" not in line.words and line.takes is None:
            yield "no-rhythm", here._replace(said=int(times))
        behind = next((after for before, after in pairwise(step.lines) if before is line), None)
        is_same = behind is not None and behind.verb in _BUTTONS and behind.words.get("key") == line.words.get("key")
        if is_same and behind is not None and "key" in line.words and not line.expect and step.name in self._timed:
            yield "no-answer", here._replace(at=behind.at)

    @cached_property
    def _timed(self) -> frozenset[str]:
        return frozenset(name for region in self.written.regions for name in region.steps)

    def _of_wait(self, line: Line, step: Step, here: Slip) -> Iterator[tuple[str, Slip]]:
        if not line.expect:
            yield "nothing-shows", here
        elif line.within is None:
            yield "no-limit", here
        if _SESSION in line.action.needs:
            yield from self._of_session(step, here, self.pace.line(line))

    def _of_session(self, step: Step, here: Slip, length: Length) -> Iterator[tuple[str, Slip]]:
        """Find a wait that may leave the tool alone for longer than a session lasts, or surely does than the file elsewhere."""
        taps = [each.every for each in step.meanwhile if each.verb == _TAP]
        alone = min([length.most, *(gap or 0 for gap in taps)])
        if self._session_lasts is not None and alone > self._session_lasts:
            yield "times-out", here._replace(said=alone, known=self._session_lasts)
        elif not taps and self._tapped_every is not None and length.least > self._tapped_every:
            yield "sleeps", here._replace(said=length.least, known=self._tapped_every)

    @cached_property
    def _session_lasts(self) -> int | None:
        """How long a session lasts at least by the facts tables; nothing where they do not say it, or the tool keeps it up."""
        facts = dict(self.shelf.facts_of(self.written.flow))
        if facts.get(_KEPT_UP_BY) == (_TOOL,):
            return None
        unit = self.shelf.catalogue.attributes[_TIMEOUT].unit
        times = (read_duration(f"{word} {unit}") for word in facts.get(_TIMEOUT, ()))
        return min((time.least for time in times if time is not None), default=None)

    @cached_property
    def _tapped_every(self) -> int | None:
        """The shortest time after which the file has the tool tapped so that it does not sleep."""
        steps = self.written.flow.steps.values()
        gaps = [line.every for step in steps for line in step.meanwhile if line.verb == _TAP and line.every is not None]
        return min(gaps, default=None)


def _may_slip(line: Line) -> bool:
    """Whether a line has to be looked at: most have nothing that could be wrong."""
    is_bare = line.takes is None and line.within is None and not line.is_by_written
    return not is_bare or line.verb in _LOOKED_AT or line.verb.startswith(_WAIT)


def _of_act(line: Line, step: Step, here: Slip) -> Iterator[tuple[str, Slip]]:
    said = Said(line.words["text"], "act", line.at, step, line)
    if _UNTIL.search(said.text) and line.within is None:
        yield "no-limit", here
    yield from _of_text(said, step)


def _of_text(said: Said, step: Step) -> Iterator[tuple[str, Slip]]:
    """Find movements that are kept or done again and do not say how long, how often or how they end."""
    if _WORTH_A_LOOK.search(said.text) is None:
        return
    counts = step.loop is not None or any(_is_counted(line) for line in step.lines)
    # The number of tries says how often a step is done again, and not how often a movement in it.
    again = _AGAIN if step.tries is None else _MOVED_AGAIN
    lasts = said.line.takes is not None if said.line is not None else any(_is_lasting(line) for line in step.lines)
    for found in _SENTENCE.finditer(said.text):
        words = found[0]
        if not lasts and _TIME.search(words) is None:
            yield from _slip("no-duration", _KEPT, found, said)
        if not counts and _COUNT.search(words.replace("many times", "").replace("number of times", "")) is None:
            yield from _slip("no-count", again, found, said)
        if _ENDS.search(said.text) is None:
            yield from _slip("no-end", _TO_AND_FRO, found, said)


def _slip(kind: str, words: re.Pattern[str], sentence: re.Match[str], said: Said) -> Iterator[tuple[str, Slip]]:
    found = words.search(sentence[0])
    if found is not None:
        start, end = sentence.start() + found.start(), sentence.start() + found.end()
        yield kind, Slip(said.part(start, end), said.step.name if said.step is not None else "", found[0])


def _is_counted(line: Line) -> bool:
    return line.repeat > 1 or "times" in line.words


def _is_lasting(line: Line) -> bool:
    return line.takes is not None or any(line.action.parameters[name].kind == "duration" for name in line.words)
