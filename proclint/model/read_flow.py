"""From a tree of the right shape to steps, in the long form only."""

from collections.abc import Mapping
from typing import final

from proclint.catalogue import Catalogue, Mismatch
from proclint.model import fields
from proclint.model.fault import Fault
from proclint.model.flow import Caution, Follow, Line, Loop, Mark, Prompt, Step, Way, Window, Word
from proclint.source import Mapping as Tree
from proclint.source import Node, Place, Scalar

_ON_LAST_LINE = frozenset({"expect", "within", "opens", "closes"})


@final
class FlowReader:
    """Reads the parts that procedures and blocks share; `faults` gathers what has no meaning."""

    def __init__(self, catalogue: Catalogue, names: frozenset[str]) -> None:
        self.catalogue = catalogue
        self.names = names
        self.faults: list[Fault] = []

    def steps(self, at: Place) -> dict[str, Step]:
        """Read `steps` and `fallbacks`, in file order."""
        steps: dict[str, Step] = {}
        for part in ("steps", "fallbacks"):
            for name, place in fields.parts_in(at, part):
                steps.setdefault(name, self.step(name, at=place, is_fallback=part == "fallbacks"))
        return steps

    def step(self, name: str, *, at: Place, is_fallback: bool) -> Step:
        """Read one step."""
        node = at.node
        assert isinstance(node, Tree)
        has = node.pairs.keys()
        prompt = self.prompt(at / "prompt") if "prompt" in has else None
        text = fields.text_of
        return Step(
            name=name,
            at=at,
            is_fallback=is_fallback,
            instruction=text(node, "instruction") if "instruction" in has else "",
            cautions=fields.words_of(at / "caution") if "caution" in has else (),
            prompt=prompt,
            lines=self.step_lines(at, node, prompt),
            ask=text(node, "ask") if "ask" in has else "",
            follow=self.follow(at) if "follow" in has else None,
            loop=self.loop(at) if "for-each" in has or "repeat" in has else None,
            meanwhile=self.lines(at / "meanwhile", by="") if "meanwhile" in has else (),
            tries=(fields.number(text(node, "tries")) or None) if "tries" in has else None,
            ways=_ways(at, node),
            takes=fields.duration(fields.field(node, "takes")) if "takes" in has else None,
            sources=fields.words_of(at / "source") if "source" in has else (),
        )

    def step_lines(self, at: Place, node: Tree, prompt: Prompt | None) -> tuple[Line, ...]:
        """Read a step's lines: the answer to its prompt first; what is seen belongs to the last of them."""
        lines = self.answer(prompt)
        if "do" in node.pairs:
            lines += self.lines(at / "do", by=fields.text_of(node, "by") if "by" in node.pairs else "")
        if not lines or _ON_LAST_LINE.isdisjoint(node.pairs):
            return lines
        return (*lines[:-1], self.with_sign(lines[-1], at))

    def with_sign(self, line: Line, at: Place) -> Line:
        """Give a line with the sign and marks that a step or long line writes for it, if it writes any."""
        node = at.node
        assert isinstance(node, Tree)
        has = node.pairs.keys()
        if _ON_LAST_LINE.isdisjoint(has):
            return line
        return line._replace(
            expect=fields.text_of(node, "expect") if "expect" in has else line.expect,
            within=fields.milliseconds(fields.field(node, "within")) if "within" in has else line.within,
            opens=line.opens + _marks(at, "opens") if "opens" in has else line.opens,
            closes=line.closes + _marks(at, "closes") if "closes" in has else line.closes,
        )

    def answer(self, prompt: Prompt | None) -> tuple[Line, ...]:
        """Read the answer to a prompt as a line."""
        if prompt is None or not prompt.answer:
            return ()
        choice = prompt.choices.get(prompt.answer)
        if choice is None:
            self.faults.append(
                Fault("wrong-shape", prompt.at / "answer", "answer", prompt.answer, f"one of {', '.join(prompt.choices)}")
            )
            return ()
        return self.short_line(prompt.at / "answer", f"answer {choice}", by="")

    def lines(self, at: Place, *, by: str) -> tuple[Line, ...]:
        """Read a list of lines, or one."""
        found: tuple[Line, ...] = ()
        for item in at.items():
            found += self.line(item, by=by)
        return found

    def line(self, at: Place, *, by: str) -> tuple[Line, ...]:
        """Read one line; a long one may stand for several, of which the last bears its fields."""
        node = at.node
        if isinstance(node, Scalar):
            return self.short_line(at, node.text, by=by)
        if not isinstance(node, Tree):
            return ()
        if "do" not in node.pairs:
            return self.long_action(at, by=by)
        actor = fields.text_of(node, "by") or by
        lines = self.lines(at / "do", by=actor)
        return (*lines[:-1], self.long_line(lines[-1], at, rounds_of=len(lines))) if lines else ()

    def long_line(self, line: Line, at: Place, *, rounds_of: int) -> Line:
        """Give a line with what its long form, of so many lines, says besides the action."""
        node = at.node
        line = self.with_sign(line, at)
        return line._replace(
            rounds_of=rounds_of,
            is_by_written=bool(fields.text_of(node, "by")) or line.is_by_written,
            only_if=fields.text_of(node, "only-if"),
            takes=fields.duration(fields.field(node, "takes")),
            repeat=fields.number(fields.text_of(node, "repeat"), 1),
            every=fields.milliseconds(fields.field(node, "every")),
            sources=fields.words_in(at, "source"),
        )

    def short_line(self, at: Place, text: str, *, by: str) -> tuple[Line, ...]:
        """Read a line in the words of its verb."""
        match = self.catalogue.match(text, names=self.names)
        if isinstance(match, Mismatch):
            self.faults.append(_unread(at, text, match))
            return ()
        action = match.action
        return (Line(at, text, action, match.words, by or action.actor, is_by_written=bool(by)),)

    def long_action(self, at: Place, *, by: str) -> tuple[Line, ...]:
        """Read an action whose parameters are written by name."""
        found: tuple[Line, ...] = ()
        for verb, place in at.fields():
            words = fields.texts_by_name(place.node)
            match = self.catalogue.match_long(verb, words, names=self.names)
            if isinstance(match, Mismatch):
                self.faults.append(_unread(place, verb, match))
            else:
                action, text = match.action, " ".join([verb, *words.values()])
                found += (Line(place, text, action, match.words, by or action.actor, is_by_written=bool(by)),)
        return found

    def prompt(self, at: Place) -> Prompt:
        """Read a prompt."""
        node = at.node
        choices = fields.texts_by_name(fields.field(node, "choices"))
        text = fields.text_of
        return Prompt(at, text(node, "says"), choices, text(node, "answer"), text(node, "means"))

    def follow(self, at: Place) -> Follow | None:
        """Read the call of a block."""
        written = fields.text_of(at.node, "follow")
        if not written:
            return None
        block, _, version = written.partition(" ")
        place = at / "follow"
        if not version:
            self.faults.append(Fault("block-not-pinned", place, block, written))
        given = {name: fields.texts_of(value.node) for name, value in fields.parts_in(at, "given")}
        return Follow(place, block, fields.number(version), given)

    def loop(self, at: Place) -> Loop | None:
        """Read the rounds of a step."""
        for letter, place in fields.parts_in(at, "for-each"):
            return Loop(place, letter, fields.texts_of(place.node), 0)
        times = fields.text_of(at.node, "repeat")
        return Loop(at / "repeat", "", (), fields.number(times)) if times else None

    def windows(self, at: Place) -> dict[str, Window]:
        """Read `windows`, a short one as its upper bound."""
        return {name: _window(name, place) for name, place in fields.parts_in(at, "windows")}

    def cautions(self, at: Place) -> dict[str, Caution]:
        """Read the file's own `cautions`."""
        return {name: _caution(name, place) for name, place in fields.parts_in(at, "cautions")}


def _ways(at: Place, node: Tree) -> tuple[Way, ...]:
    ways = []
    if "ways" in node.pairs:
        ways = [Way(outcome, fields.text(place.node), place) for outcome, place in (at / "ways").fields()]
    for name, outcome in (("then", "done"), ("fails", "fails")):
        if name in node.pairs:
            place = at / name
            ways.append(Way(outcome, fields.text(place.node), place))
    return tuple(ways)


def _marks(at: Place, name: str) -> tuple[Mark, ...]:
    marks = []
    for word in fields.words_in(at, name):
        window, _, edge = word.text.partition(" at ")
        marks.append(Mark(window, edge or "end", word.at))
    return tuple(marks)


def _window(name: str, at: Place) -> Window:
    node: Node | None = at.node
    if isinstance(node, Scalar):
        return Window(name, at, fields.milliseconds(node), None, "", ())
    most, least = (fields.milliseconds(fields.field(node, bound)) for bound in ("at-most", "at-least"))
    return Window(name, at, most, least, fields.text_of(node, "late"), fields.words_in(at, "source"))


def _caution(name: str, at: Place) -> Caution:
    signal, hazard, consequence, avoid = (fields.text_of(at.node, part) for part in ("signal", "hazard", "consequence", "avoid"))
    return Caution(name, at, signal, hazard, consequence, avoid)


_KINDS = {"unknown-verb": "not-in-vocabulary", "wrong-word": "not-in-vocabulary", "missing-parameter": "missing-parameter"}


def _unread(at: Place, text: str, match: Mismatch) -> Fault:
    place = at.part(match.offset, match.length)
    found = text[match.offset : match.offset + match.length] or text
    kind = _KINDS.get(match.kind, "unreadable-line")
    return Fault(kind, place, match.pattern or text, found, match.expected, match.suggestion or "")


def words_by_name(at: Place) -> Mapping[str, Word]:
    """Read a mapping of texts with their places."""
    return {name: Word(fields.text(place.node), place) for name, place in at.fields()}
