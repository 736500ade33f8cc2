"""The lines of a step with the time that each takes: by the file, else by the catalogue."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from proclint.analysis.time.lengths import NOTHING, ONE, UNTOLD, Count, Length, by_hand, given, total
from proclint.catalogue import Action, Catalogue, Duration, MatchedLine, read_duration
from proclint.model import Flow, Follow, Line, Procedure, Step

# A question is answered as a prompt is.
_ANSWER = "answer"
_TIMES = "times"
# Parameters that may say how long or how often.
_OF_TIME = ("duration", "number")
# Kinds of a block's parameters on which it hangs how long something takes.
_TOLD_BY_CALLER = ("keys", "count", "duration")


class Part(NamedTuple):
    """A line as written, which may hold several and be done several times; its sign and marks are those of `last`.

    `lines` are those inside it with their lengths. `whole` is the time written for all of them, if one is. They are done
    `rounds` times.
    """

    lines: tuple[tuple[Line, Length], ...]
    whole: Length | None
    rounds: int

    @property
    def last(self) -> Line:
        """The line that bears what is said of all of it."""
        return self.lines[-1][0]

    @property
    def sign(self) -> Length | None:
        """How long after the action its sign may come, where the file says it."""
        within = self.last.within
        return None if within is None else given(Duration(0, 0, within))

    @property
    def timed(self) -> tuple[tuple[Line, Length], ...]:
        """Its lines with the time that each takes in all rounds; that of all together, and the sign, come with the last."""
        rounds = (self.rounds, self.rounds)
        if self.whole is not None:
            found = [(line, NOTHING) for line, _ in self.lines[:-1]] + [(self.last, self.whole.times(rounds))]
        else:
            found = [(line, length.times(rounds)) for line, length in self.lines]
        if self.sign is not None:
            found[-1] = self.last, total((found[-1][1], self.sign))
        return tuple(found)

    @property
    def length(self) -> Length:
        """How long it takes with all of its rounds and its sign."""
        whole = total(length for _, length in self.timed)
        return whole.or_nothing if self.last.only_if else whole


@dataclass(frozen=True, slots=True)
class Pace:
    """How long the steps of one flow take, its groups of keys being of some size and its times told by some caller.

    `counts` tells how many keys each letter stands for, `told` the words that a caller gave for a block's parameters.
    `untold` are parameters of which only a caller could say how many or how long; keys are taken for one.
    """

    catalogue: Catalogue
    counts: Mapping[str, Count]
    told: Mapping[str, str] = field(default_factory=dict)
    untold: frozenset[str] = frozenset()

    @classmethod
    def of(cls, flow: Flow, catalogue: Catalogue) -> "Pace":
        """Give the pace of a procedure, or of a block that nobody has called."""
        if isinstance(flow, Procedure):
            return cls(catalogue, {group.letter: group.here for group in flow.keys.values()})
        return cls(catalogue, {}, untold=frozenset(name for name, kind in flow.given.items() if kind in _TOLD_BY_CALLER))

    def inside(self, follow: Follow) -> "Pace":
        """Give the pace of a block that is followed with what it is given."""
        counts = {name: _sum(self.count(word) for word in words) for name, words in follow.given.items()}
        told = {name: self.told.get(word, word) for name, words in follow.given.items() for word in words}
        untold = frozenset(name for name, words in follow.given.items() if not self.untold.isdisjoint(words))
        return Pace(self.catalogue, counts, told, untold)

    def count(self, word: str) -> Count:
        """Give how many keys a word stands for: a group those that are here, any other name one."""
        return self.counts.get(word, ONE)

    def rounds(self, step: Step) -> Count:
        """Give how often a step is done each time it is entered."""
        if step.loop is None:
            return ONE
        return _sum(map(self.count, step.loop.groups)) if step.loop.groups else (step.loop.times,) * 2

    def is_untold(self, step: Step) -> bool:
        """Whether only the caller of a block could say how often a step is done."""
        return step.loop is not None and not self.untold.isdisjoint(step.loop.groups)

    def parts(self, step: Step) -> tuple[Part, ...]:
        """Give the lines of a step in order with their times; a time written for the whole step ends its last line."""
        parts = tuple(map(self._part, _written(step.lines)))
        if step.takes is None or not parts:
            return parts
        last, before = parts[-1], total((NOTHING, *(part.length for part in parts[:-1])))
        pace = given if all(length.is_given for part in parts for _, length in part.lines) else by_hand
        return (*parts[:-1], last._replace(whole=pace(step.takes).less(before), rounds=1))

    def step(self, step: Step) -> Length:
        """Give how long one round of a step takes, the blocks that it follows left out."""
        asked = (self.question,) if step.ask else ()
        return total((NOTHING, *(part.length for part in self.parts(step)), *asked))

    @property
    def question(self) -> Length:
        """How long it takes to answer a question that only a person can answer."""
        return self._of_action(self.catalogue.actions[_ANSWER], {})

    def _part(self, lines: tuple[Line, ...]) -> Part:
        alone = len(lines) == 1
        read = tuple((line, self.line(line if alone else line._replace(takes=None))) for line in lines)
        takes = lines[-1].takes
        if alone or takes is None:
            return Part(read, None, lines[-1].repeat)
        pace = given if all(length.is_given for _, length in read) else by_hand
        return Part(read, pace(takes), lines[-1].repeat)

    def line(self, line: Line) -> Length:
        """Give how long a line takes once, without its sign; a group of keys where a line wants a key is each of them."""
        keys = (line.words.get(name, "") for name, each in line.action.parameters.items() if each.kind == "key")
        several = next((self.counts[word] for word in keys if word in self.counts), ONE)
        if line.takes is not None:
            usual = line.action.takes.usual if isinstance(line.action.takes, Duration) else None
            return given(line.takes, usual=usual) if is_given(line) else by_hand(line.takes, usual=usual)
        return self._of_action(line.action, line.words, is_given=is_given(line)).times(several)

    def most(self, step: Step) -> list[tuple[Line, int]]:
        """Give the lines of a step with the most that each takes with its sign and rounds, the same as by `parts` but sooner."""
        if step.takes is not None or any(line.rounds_of > 1 or line.repeat > 1 for line in step.lines):
            return [(part.last, part.length.most) for part in self.parts(step)]
        return [(line, self._most(line) + (line.within or 0)) for line in step.lines]

    def _most(self, line: Line) -> int:
        if line.takes is not None:
            return line.takes.most
        action, takes = line.action, line.action.takes
        is_plain = isinstance(takes, Duration) and not any(
            word in self.counts or action.parameters[name].kind in _OF_TIME for name, word in line.words.items()
        )
        return takes.most if is_plain and isinstance(takes, Duration) else self.line(line).most

    def _of_action(self, action: Action, words: Mapping[str, str], *, is_given: bool = False) -> Length:
        if action.takes == "make-sure":
            return self._made_sure(words)
        if not isinstance(action.takes, Duration):
            return self._told(words.get(action.takes, ""), is_given=is_given)
        once = given(action.takes) if is_given else by_hand(action.takes)
        for name, each in action.parameters.items():
            if each.kind == "duration" and name in words:
                once = total((once, self._told(words[name], is_given=is_given)))
        often = self.told.get(words[_TIMES], words[_TIMES]) if _TIMES in words else "1"
        return once.times((int(often), int(often))) if often.isdigit() else UNTOLD

    def _told(self, word: str, *, is_given: bool) -> Length:
        """Give a time that a line says in its words, or that the caller of a block gave."""
        time = read_duration(self.told.get(word, word))
        if time is None:
            return UNTOLD
        return given(time) if is_given else by_hand(time, is_kept=True)

    def _made_sure(self, words: Mapping[str, str]) -> Length:
        """Give how long it takes to reach a value: nothing where it is so already, at most the longest way to it."""
        rows = [row for row in self.catalogue.make_sure if (row.variable, row.value) == (words["variable"], words["value"])]
        ways = [total(map(self._text, row.do)) for row in rows]
        usual, most = min(each.usual for each in ways), max(each.most for each in ways)
        return Length(0, usual, most, (0, usual, most))

    def _text(self, text: str) -> Length:
        """Give how long a line of the catalogue takes, whatever key is meant in it."""
        match = self.catalogue.match(text.replace("{cylinder}", "O1").replace("{working}", "O1"))
        assert isinstance(match, MatchedLine)
        return self._of_action(match.action, match.words)


def is_given(line: Line) -> bool:
    """Whether vehicle or equipment decides how long a line takes; who does it does, unless the catalogue names another."""
    action = line.action
    return (line.by if action.paced_by == action.actor else action.paced_by) != "technician"


def _sum(counts: Iterable[Count]) -> Count:
    pairs = tuple(counts)
    return sum(few for few, _ in pairs), sum(many for _, many in pairs)


def _written(lines: tuple[Line, ...]) -> tuple[tuple[Line, ...], ...]:
    """Put lines together that are written as one."""
    found: list[tuple[Line, ...]] = []
    end = len(lines)
    while end:
        start = end - lines[end - 1].rounds_of
        found.append(lines[start:end])
        end = start
    return tuple(reversed(found))
