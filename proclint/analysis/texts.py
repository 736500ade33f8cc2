"""The texts of a procedure or block that people read: what is written in whose words, and where."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from proclint.catalogue.phrases import in_small_letters
from proclint.model import Flow, Line, Step, fields
from proclint.source import Place, Scalar

# Texts that tell a technician what to do, and all that he works by.
COMMANDS = frozenset({"instruction", "act", "avoid"})
WORK = COMMANDS | {"means", "ask", "expect", "hazard", "consequence"}

_QUOTED = re.compile(r"(?<!\w)'[^'\n]*'(?!\w)|\"[^\"\n]*\"|\N{LEFT DOUBLE QUOTATION MARK}[^\n]*?\N{RIGHT DOUBLE QUOTATION MARK}")
_ACT = "act "


class Said(NamedTuple):
    """A text with its kind: the name of its field, or `act` for the words of such a line.

    `owner` stands in the file; `step` and `line` are those that the text belongs to, if any.
    """

    text: str
    kind: str
    owner: Place
    step: Step | None = None
    line: Line | None = None

    @property
    def at(self) -> Place:
        """The place of the whole text."""
        if self.kind == "act":
            return self.owner
        if self.line is not None and self.step is not None:
            return _around(self.line, self.step) / self.kind
        return self.owner / self.kind

    def part(self, start: int, end: int) -> Place:
        """Give the place of a stretch of the text."""
        at = self.at
        is_short = self.kind == "act" and isinstance(at.node, Scalar) and at.node.text.startswith(_ACT)
        return at.part(start + (len(_ACT) if is_short else 0), end - start)


def _around(line: Line, step: Step) -> Place:
    """Give what names the sign of a line: its step, which has the last word, else its long form."""
    if fields.text_of(step.at.node, "expect") == line.expect:
        return step.at
    place = naming = step.at
    for part in line.at.path[len(step.at.path) :]:
        place = place / part
        naming = place if fields.has(place, "expect") else naming
    return naming


def texts_of(flow: Flow) -> Iterator[Said]:
    """Give every text of a flow but the screen's own words and titles; those that the customer is told come last."""
    yield from _of_steps(flow)
    for caution in flow.cautions.values():
        for kind, text in (("hazard", caution.hazard), ("consequence", caution.consequence), ("avoid", caution.avoid)):
            yield Said(text, kind, caution.at)
    for end in flow.ends.values():
        if end.tell:
            yield Said(end.tell, "tell", end.at)


def _of_steps(flow: Flow) -> Iterator[Said]:
    for step in flow.steps.values():
        if step.instruction:
            yield Said(step.instruction, "instruction", step.at, step)
        if step.ask:
            yield Said(step.ask, "ask", step.at, step)
        if step.prompt is not None and step.prompt.means:
            yield Said(step.prompt.means, "means", step.prompt.at, step)
        for line in (*step.lines, *step.meanwhile) if step.meanwhile else step.lines:
            if line.expect:
                yield Said(line.expect, "expect", line.at, step, line)
            if line.action.verb == "act":
                yield Said(line.words["text"], "act", line.at, step, line)


def own_words(text: str) -> str:
    """Give a text with what stands in quotation marks made unreadable, at its length: those are not the file's own words."""
    # An apostrophe begins no quotation; marks that may do so are looked for first, as hardly any text has them.
    if '"' in text or "'" in text or "\N{LEFT DOUBLE QUOTATION MARK}" in text:
        return _QUOTED.sub(lambda found: "_" * len(found[0]), text)
    return text


def plain(text: str) -> str:
    """Give the file's own words of a text in small letters, each at its place."""
    return in_small_letters(own_words(text))


def is_shouted(text: str, whole: str) -> bool:
    """Whether a stretch of a text is in capitals as the screen's words and the names of buttons are, and not all is."""
    return text.isupper() and not whole.isupper()
