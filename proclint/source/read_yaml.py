"""Plain YAML 1.2 to a tree of texts, on the event stream of libyaml where it is there.

Nothing is resolved: every scalar is the text that the author wrote. What a plain file does not need (anchors,
aliases, tags, merge keys, a second document) is refused, and so is what a reader would swallow in silence: the
second of two equal keys (YAML 1.2.2, section 3.2.1.1: the keys of a mapping are unique).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NoReturn, final

import yaml

from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.text import SourceText
from proclint.source.tree import Mapping, Node, Scalar, Sequence
from proclint.source.trouble import Trouble


@dataclass(frozen=True, slots=True)
class Document:
    """A file as read: its text, its top node (none where it cannot be read) and what is wrong with it."""

    text: SourceText
    root: Node | None
    troubles: tuple[Trouble, ...]

    @property
    def at(self) -> Place:
        """The place of the top node."""
        return Place.of_root(self.text.name, self.root)

    @property
    def is_readable(self) -> bool:
        """Whether the tree is what the author meant, or differs from it by a repeated key only."""
        return self.root is not None and all(trouble.kind == "duplicate-key" for trouble in self.troubles)


def read_yaml(text: SourceText, limits: Limits) -> Document:
    """Read one YAML document. Never raises for what a file holds."""
    reader = _Reader(text, limits)
    try:
        root = reader.document()
    except _Stop:
        root = None
    except yaml.YAMLError as error:
        reader.note("syntax", _where(text, error), *_in_plain_words(error))
        root = None
    return Document(text, root, tuple(reader.troubles))


class _Stop(Exception):
    """Raised where reading on makes no sense; the trouble is noted already."""


@final
class _Reader:
    """Builds the tree from events; `path` names the container that is being read."""

    def __init__(self, text: SourceText, limits: Limits) -> None:
        self.text = text
        self.limits = limits
        self.troubles: list[Trouble] = []
        self.path: list[str | int] = []
        self.nodes = 0
        self.next: Callable[[], Any] = _parser(text.text)

    def document(self) -> Node:
        event = self.next()
        while type(event) not in _NODE_STARTS:
            if type(event) is yaml.StreamEndEvent:
                self.stop("syntax", 0, "This file is empty.", "Write the procedure, or delete the file.")
            event = self.next()
        root = self.node(event)
        while type(event) is not yaml.StreamEndEvent:
            event = self.next()
            if type(event) is yaml.DocumentStartEvent:
                at = event.start_mark.index
                self.stop("syntax", at, "A second document begins here.", "Keep one document in a file.")
        return root

    def node(self, event: Any) -> Node:
        kind = type(event)
        if kind is yaml.AliasEvent:
            return self.alias(event)
        if event.anchor is not None or event.tag is not None:
            self.refuse_marks(event)
        start = event.start_mark.index
        if kind is yaml.ScalarEvent:
            return Scalar(event.value, start, event.end_mark.index, event.style)
        if len(self.path) >= self.limits.depth:
            self.stop("limit", start, f"This is nested more than {self.limits.depth} deep.", "Write it flatter.")
        return self.mapping(start) if kind is yaml.MappingStartEvent else self.sequence(start)

    def mapping(self, start: int) -> Mapping:
        mapping, pairs, path = Mapping(start), {}, self.path
        mapping.pairs = pairs
        event = self.next()
        while type(event) is not yaml.MappingEndEvent:
            self.count(event)
            key = self.node(event)
            name = key.text if type(key) is Scalar else self.odd_key(key)
            path.append(name)
            value = self.node(self.next())
            path.pop()
            if name in pairs:
                self.repeated(name, key, pairs[name][0])
            elif type(key) is Scalar:
                pairs[name] = (key, value)
                if name == "<<":
                    self.merge_key(key)
            event = self.next()
        mapping.end = event.end_mark.index
        return mapping

    def sequence(self, start: int) -> Sequence:
        sequence, path = Sequence(start), self.path
        items = sequence.items
        event = self.next()
        while type(event) is not yaml.SequenceEndEvent:
            self.count(event)
            path.append(len(items))
            items.append(self.node(event))
            path.pop()
            event = self.next()
        sequence.end = event.end_mark.index
        return sequence

    def count(self, event: Any) -> None:
        self.nodes += 1
        if self.nodes > self.limits.nodes:
            message = f"This file holds more than {self.limits.nodes} values."
            self.stop("limit", event.start_mark.index, message, "Split it.")

    def alias(self, event: Any) -> Scalar:
        start, end = event.start_mark.index, event.end_mark.index
        message = f"'*{event.anchor}' stands for a value that is written elsewhere."
        self.note("not-plain", (start, end), message, "Write the value out here; procedures are plain YAML.")
        return Scalar("", start, end, None)

    def refuse_marks(self, event: Any) -> None:
        start = event.start_mark.index
        if event.anchor is not None:
            message = f"'&{event.anchor}' names this value for use elsewhere."
            self.note("not-plain", (start, start + 1), message, "Take the anchor away; write the value where it is used.")
        if event.tag is not None:
            message = f"A tag ({event.tag}) stands before this value."
            self.note("not-plain", (start, start + 1), message, "Take the tag away; the field decides what a value is.")

    def merge_key(self, key: Scalar) -> None:
        message = "'<<' would merge in values that are written elsewhere."
        self.note("not-plain", (key.start, key.end), message, "Write the fields out here; procedures are plain YAML.")

    def odd_key(self, key: Node) -> str:
        self.note("key-not-text", (key.start, key.start + 1), "A list or a mapping stands where a name belongs.", "Give it a name.")
        return "?"

    def repeated(self, name: str, key: Node, first: Scalar) -> None:
        path = (*self.path, name)
        place = Place(self.text.name, path, None, (key.start, key.end))
        other = Place(self.text.name, path, None, (first.start, first.end))
        message = f"'{name}' stands here a second time; only one of the two would count."
        self.troubles.append(Trouble("duplicate-key", place, message, "Give one of them another name, or delete it.", other))

    def note(self, kind: str, span: tuple[int, int], message: str, change: str) -> None:
        place = Place(self.text.name, tuple(self.path), None, span)
        self.troubles.append(Trouble(kind, place, message, change))

    def stop(self, kind: str, at: int, message: str, change: str) -> NoReturn:
        self.note(kind, (at, at), message, change)
        raise _Stop


_NODE_STARTS = (yaml.ScalarEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent, yaml.AliasEvent)


def _parser(text: str) -> Callable[[], Any]:
    parser = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    get: Callable[[], Any] = parser(text).get_event
    return get


# What libyaml calls it, and what a contributor can do about it.
_PLAIN_WORDS = (
    ("tab character", "A tab stands where only spaces may.", "Use spaces to indent."),
    ("cannot start any token", "A character that YAML keeps for itself begins this value.", "Put the value in quotes."),
    ("mapping values are not allowed", "A colon stands where no second one may.", "Put the value in quotes, or check the indent."),
    ("could not find expected ':'", "A line here has no colon after its name.", "Write 'name: value', and check the indent."),
    ("did not find expected key", "The indent changes here, or a quote or bracket is left over.", "Line the names up."),
    ("did not find expected ',' or", "A bracket that was opened is not closed here.", "Close it, or put a comma between the values."),
    ("did not find expected '-'", "This line does not line up with the list above it.", "Line the dashes up."),
    ("unexpected end of stream", "A quotation mark that was opened is never closed.", "Close the quotation mark."),
    ("special characters are not allowed", "A control character stands in this file.", "Delete it."),
    ("undefined alias", "A value that begins with * stands for one that is nowhere written.", "Write the value out, or put it in quotes."),
)


def _in_plain_words(error: yaml.YAMLError) -> tuple[str, str]:
    said = str(getattr(error, "problem", None) or getattr(error, "reason", None) or error)
    for part, message, change in _PLAIN_WORDS:
        if part in said:
            return message, change
    return f"From here on this is not YAML ({said}).", "Check the lines just above: indent, colons, quotes, brackets."


_NOT_PRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _where(text: SourceText, error: yaml.YAMLError) -> tuple[int, int]:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if mark is not None:
        return mark.index, mark.index + 1
    odd = _NOT_PRINTABLE.search(text.text)
    return odd.span() if odd else (0, 0)
