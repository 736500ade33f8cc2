"""What an instruction tells against the lines that are done: verb, key, position, count and time."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.doings import Mention, mentions
from proclint.analysis.texts import Said
from proclint.catalogue import Catalogue, Duration
from proclint.catalogue.measures import Amount, amount_of
from proclint.catalogue.speech import Doing
from proclint.model import Block, Flow, Line, Step


class Difference(NamedTuple):
    """Where a text and the lines of its step differ.

    `kind` is `verb` (told and not done), `left-out` (done and not told), `key`, `word` or `number`. `told` are the text's words
    and `done` those of the lines; `told` is empty where nothing is told.
    """

    kind: str
    said: Said
    start: int
    end: int
    told: str
    done: str


class Bench:
    """What the texts of one flow are held against: the catalogue, and the names of keys."""

    def __init__(self, flow: Flow, catalogue: Catalogue) -> None:
        self.flow = flow
        self.catalogue = catalogue
        self.speech = catalogue.speech

    @cached_property
    def letters(self) -> frozenset[str]:
        """The names of groups of keys, and those that stand for a key in a loop or a block."""
        own = self.flow.given if isinstance(self.flow, Block) else self.flow.keys
        loops = (step.loop.letter for step in self.flow.steps.values() if step.loop is not None)
        return frozenset((*own, *loops))

    def with_sums(self, words: Iterable[str]) -> frozenset[str]:
        """Give words of closures with those that they are part of, and those that are part of them."""
        found = set(words)
        for name, parts in self.catalogue.sums.items():
            if name in found:
                found.update(parts)
            elif not found.isdisjoint(parts):
                found.add(name)
        return frozenset(found)


def lines_of(doing: Doing, lines: Iterable[Line]) -> list[Line]:
    """Give the lines that are a doing."""
    return [line for line in lines if line.action.verb in doing.by]


def words_by_kind(lines: Iterable[Line]) -> Mapping[str, set[str]]:
    """Give the words of lines by what they are: keys, positions, switches."""
    found: dict[str, set[str]] = {}
    for line in lines:
        for name, word in line.words.items():
            found.setdefault(line.action.parameters[name].kind, set()).add(word)
    return found


def differences(said: Said, step: Step, bench: Bench) -> Iterator[Difference]:
    """Hold an instruction against the lines of its step."""
    lines = (*step.lines, *step.meanwhile)
    if not lines:
        return
    found = mentions(said.text, bench.catalogue)
    told_otherwise = [each for mention in found for each in _of_mention(mention, said, lines, bench)]
    yield from told_otherwise
    if all(each.kind == "number" for each in told_otherwise):
        # Whoever tells a line with another key or position leaves out that line too: one cause, told once.
        yield from _left_out(found, said, step, bench)


def _of_mention(mention: Mention, said: Said, lines: tuple[Line, ...], bench: Bench) -> Iterator[Difference]:
    done = lines_of(mention.doing, lines)
    if not done:
        yield from _not_done(mention, said, lines, bench)
        return
    keys = mention.keys(bench.letters)
    if keys or mention.told:
        yield from _of_words(mention, keys, said=said, done=done, bench=bench)
    if mention.amounts or mention.counts:
        yield from _of_numbers(mention, said, bench, done)


def _not_done(mention: Mention, said: Said, lines: tuple[Line, ...], bench: Bench) -> Iterator[Difference]:
    # What does not begin a clause may only tell how things stand: "the door is open".
    if mention.is_command and not _may_be_done(mention, lines, bench):
        told = said.text[mention.start : mention.end].rstrip(" ,")
        yield Difference("verb", said, mention.start, mention.end, told, "; ".join(line.text for line in lines))


def _may_be_done(mention: Mention, lines: tuple[Line, ...], bench: Bench) -> bool:
    """Whether a line can be what is mentioned: one whose verbs nobody knows, or what is done on the equipment's screen."""
    for line in lines:
        if mention.doing.on_screen and (line.by == "equipment" or line.verb == "answer"):
            return True
        if line.verb == "act" and mention.small.split()[0] in line.words["text"].lower().split():
            return True
        if line.verb == "make-sure" and _reached(line, bench) & mention.doing.by:
            return True
    return False


def _reached(line: Line, bench: Bench) -> frozenset[str]:
    """Give the verbs by which a line of `make-sure` may reach what it says."""
    rows = (row for row in bench.catalogue.make_sure if row.variable == line.words["variable"])
    return frozenset(each.partition(" ")[0] for row in rows for each in row.do)


def _of_words(mention: Mention, keys: tuple[str, ...], *, said: Said, done: list[Line], bench: Bench) -> Iterator[Difference]:
    there = words_by_kind(done)
    for kind, told in mention.told.items():
        words = there.get(kind, set())
        if words and not told <= words and not told <= bench.with_sums(words):
            yield _difference("word", mention, said, told - words, words)
    words = there.get("key", set())
    if keys and words and not any(may_be(key, each, said.step) for key in keys for each in words):
        yield _difference("key", mention, said, keys, words)


def _difference(kind: str, mention: Mention, said: Said, told: Iterable[str], done: Iterable[str]) -> Difference:
    return Difference(kind, said, mention.start, mention.end, ", ".join(sorted(told)), ", ".join(sorted(done)))


def may_be(told: str, done: str, step: Step | None) -> bool:
    """Whether the key that a text names may be the one of a line: itself, one of its group, or one of a loop's."""
    if told == done:
        return True
    loop = step.loop if step is not None else None
    of = loop.groups if loop is not None and done == loop.letter else (done,)
    return any(told.rstrip("0123456789").removesuffix(".missing") == each.removesuffix(".missing") for each in of)


def _of_numbers(mention: Mention, said: Said, bench: Bench, done: list[Line]) -> Iterator[Difference]:
    for told in mention.amounts:
        written = [each for each in _written(done, bench) if each.quantity == told.quantity]
        bounds = _bounds(said.step, bench.flow) if written and told.quantity == "time" else ()
        if written and not any(each.least <= told.least and told.most <= each.most for each in (*written, *bounds)):
            yield _difference("number", mention, said, (told.text,), (each.text for each in written))
    for number, words in mention.counts:
        counts = _counts(done, said.step)
        if number not in counts:
            yield _difference("number", mention, said, (words,), ("once" if each == 1 else f"{each} times" for each in counts))


def _written(lines: list[Line], bench: Bench) -> Iterator[Amount]:
    """Give the numbers that lines write for what they do."""
    for line in lines:
        for name, word in line.words.items():
            yield from bench.catalogue.measures.amounts(f"{word} digits" if name == "digits" else word)


def _bounds(step: Step | None, flow: Flow) -> Iterator[Amount]:
    """Give the times that a text may tell of besides: how long all of it takes, and within what it is done."""
    lines = (*step.lines, *step.meanwhile) if step is not None else ()
    takes = (step.takes if step is not None else None, *(line.takes for line in lines))
    yield from (amount_of(time) for time in takes if time is not None)
    windows = (bound for window in flow.windows.values() for bound in (window.at_most, window.at_least))
    signs = (bound for line in lines for bound in (line.within, line.every))
    yield from (amount_of(Duration(bound, None, bound)) for bound in (*windows, *signs) if bound is not None)


def _counts(lines: list[Line], step: Step | None) -> frozenset[int]:
    """Give every number that can be meant by how often: of one line, of its rounds, of all lines alike, of the step's rounds."""
    found: set[int] = set()
    alike: dict[str, int] = {}
    for line in lines:
        times = _written_times(line)
        found |= {times * line.repeat, times if times > 1 else line.repeat}
        alike[line.text] = alike.get(line.text, 0) + times * line.repeat
    rounds = step.loop.times if step is not None and step.loop is not None else 0
    return frozenset((*found, *alike.values(), *((rounds,) if rounds else ())))


def _written_times(line: Line) -> int:
    parameter = line.action.parameters.get("times")
    written = line.words.get("times", parameter.default if parameter is not None else "")
    return int(written) if written.isdigit() else 1


def _left_out(found: tuple[Mention, ...], said: Said, step: Step, bench: Bench) -> Iterator[Difference]:
    """Find what is done and never told: an instruction stands in the place of all printed sentences of its step."""
    for line in {line.text: line for line in step.lines}.values():
        verb = line.action.verb
        if verb in bench.speech.told_verbs and line.by == "technician":
            telling = [mention for mention in found if verb in mention.doing.by]
            if not telling or _is_other(line, telling, step, bench):
                yield Difference("left-out", said, 0, len(said.text), "", line.text)


def _is_other(line: Line, telling: list[Mention], step: Step, bench: Bench) -> bool:
    """Whether those who tell of such lines name words or keys, and none of this line's."""
    for name, word in line.words.items():
        kind = line.action.parameters[name].kind
        if kind == "key":
            keys = [key for mention in telling for key in mention.keys(bench.letters)]
            if keys and not any(may_be(key, word, step) for key in keys):
                return True
        else:
            told = frozenset(each for mention in telling for each in mention.told.get(kind, ()))
            if told and word not in told and told.isdisjoint(bench.with_sums((word,))):
                return True
    return False
