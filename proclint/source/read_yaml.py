"""Plain YAML 1.2 to a tree of texts.

Nothing is resolved: every scalar is the text that the author wrote. What a plain file does not need (anchors,
aliases, tags, directives, merge keys, a second document) is refused, and so is what a reader would swallow
in silence: the second of two equal keys (YAML 1.2.2, section 3.2.1.1: the keys of a mapping are unique), and
a line end that is none in YAML 1.2 (section 5.4) while the reader below, made for YAML 1.1, takes it for one.
"""

from collections.abc import Callable
from typing import NamedTuple, NoReturn, final

import yaml
from yaml.reader import ReaderError

from proclint.source.conflict import CONFLICT, conflict_in
from proclint.source.events import Event, events
from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.plain_words import in_plain_words, tag_as_written, where_not_printable
from proclint.source.quotes import never_closed, runs_on
from proclint.source.text import SourceText
from proclint.source.tree import Mapping, Node, Scalar, Sequence
from proclint.source.trouble import Trouble


class Document(NamedTuple):
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
        self.next: Callable[[], Event]

    def document(self) -> Node:
        self.refuse_invisible()
        try:
            self.next = events(self.text.text)
            root = self.whole()
        except (ReaderError, UnicodeEncodeError):
            self.stop_unprintable()
        except yaml.MarkedYAMLError as error:
            self.stop_broken(error)
        if root.start == root.end:
            self.stop_empty()
        return root

    def whole(self) -> Node:
        event = self.next()
        while type(event) not in _NODE_STARTS:
            self.check_start(event)
            event = self.next()
        root = self.node(event)
        while type(event) is not yaml.StreamEndEvent:
            event = self.next()
            if type(event) is yaml.DocumentStartEvent:
                message = "A second document begins here."
                self.stop("syntax", _span(event), message, "Keep one document in a file.")
        return root

    def check_start(self, event: Event) -> None:
        start, end = _span(event)
        if type(event) is yaml.StreamEndEvent:
            self.stop_empty()
        if type(event) is yaml.DocumentStartEvent and end - start > len("---"):
            message = "A line that begins with % gives orders to the reader of the file."
            self.stop("not-plain", (start, start + 1), message, "Delete it; procedures are plain YAML.")

    def node(self, event: Event) -> Node:
        kind = type(event)
        if kind is _Alias:
            return self.alias(event)
        if event.anchor is not None or event.tag is not None:
            self.refuse_marks(event)
        start = event.start_mark.index
        if kind is _Scalar:
            style, end = event.style, event.end_mark.index
            return Scalar(event.value, start, self.block_end(end) if style and style in "|>" else end, style)
        if len(self.path) >= self.limits.depth:
            self.stop_too_deep(start)
        return self.mapping(start) if kind is _MappingStart else self.sequence(start)

    def block_end(self, end: int) -> int:
        """Give the end of a block's last line that holds something: blank lines after it belong to nobody."""
        text = self.text.text
        while text[end - 1] in " \t\r\n":
            end -= 1
        return end

    def mapping(self, start: int) -> Mapping:
        mapping, path, following, most = Mapping(start), self.path, self.next, self.limits.nodes
        pairs = mapping.pairs
        value: Node = mapping
        event = following()
        while type(event) is not _MappingEnd:
            self.nodes += 2
            if self.nodes > most:
                self.stop_too_many(event)
            # Nearly every text is plain and bears no mark: made here, and twice below, as a call would cost as much as the text.
            if type(event) is _Scalar and not event.style and event.anchor is None and event.tag is None:
                key: Node = Scalar(event.value, event.start_mark.index, event.end_mark.index, event.style)
            else:
                key = self.node(event) if type(event) is _Scalar else self.odd_key(event)
            name = key.text if type(key) is Scalar else "?"
            event = following()
            if type(event) is _Scalar and not event.style and event.anchor is None and event.tag is None:
                value = Scalar(event.value, event.start_mark.index, event.end_mark.index, event.style)
            else:
                path.append(name)
                value = self.node(event)
                path.pop()
            if type(key) is not Scalar:
                pass
            elif name in pairs:
                self.repeated(name, key, pairs[name][0])
            else:
                pairs[name] = (key, value)
                if name == "<<" and not key.quote:
                    self.merge_key(key)
            event = following()
        mapping.end = _end(event, value)
        return mapping

    def sequence(self, start: int) -> Sequence:
        sequence, path, following, most = Sequence(start), self.path, self.next, self.limits.nodes
        items = sequence.items
        item: Node = sequence
        event = following()
        while type(event) is not _SequenceEnd:
            self.nodes += 1
            if self.nodes > most:
                self.stop_too_many(event)
            if type(event) is _Scalar and not event.style and event.anchor is None and event.tag is None:
                item = Scalar(event.value, event.start_mark.index, event.end_mark.index, event.style)
            else:
                path.append(len(items))
                item = self.node(event)
                path.pop()
            items.append(item)
            event = following()
        sequence.end = _end(event, item)
        return sequence

    def stop_too_many(self, event: Event) -> NoReturn:
        message = f"This file holds more than {self.limits.nodes} values."
        self.stop("limit", _span(event), message, "Split it.")

    def alias(self, event: Event) -> Scalar:
        start, end = _span(event)
        message = f"'*{event.anchor}' stands for a value that is written elsewhere."
        change = "Write the value out here, or put it in quotes if the * is meant; procedures are plain YAML."
        self.note("not-plain", (start, end), message, change)
        return Scalar(self.text.text[start:end], start, end, None)

    def refuse_marks(self, event: Event) -> None:
        span = (event.start_mark.index, event.start_mark.index + 1)
        if event.anchor is not None:
            message = f"'&{event.anchor}' names this value for use elsewhere."
            self.note("not-plain", span, message, "Take the anchor away; write the value where it is used.")
        if event.tag is not None:
            message = f"A tag ({tag_as_written(self.text.text, span[0])}) stands before this value."
            self.note("not-plain", span, message, "Take the tag away; the field decides what a value is.")

    def merge_key(self, key: Scalar) -> None:
        message = "'<<' would merge in values that are written elsewhere."
        change = "Write the fields out here; procedures are plain YAML."
        self.note("not-plain", (key.start, key.end), message, change)

    def odd_key(self, event: Event) -> Node:
        self.path.append("?")
        key = self.node(event)
        self.path.pop()
        if type(key) is not Scalar:
            message = "A list or a mapping stands where a name belongs."
            self.note("key-not-text", (key.start, key.start + 1), message, "Give it a name.")
        return key

    def repeated(self, name: str, key: Node, first: Scalar) -> None:
        path = (*self.path, name)
        place = Place(self.text.name, path, None, (key.start, key.end))
        other = Place(self.text.name, path, None, (first.start, first.end))
        message = f"'{name}' stands here a second time; only one of the two would count."
        change = "Give one of them another name, or delete it."
        self.troubles.append(Trouble("duplicate-key", place, message, change, other))

    def refuse_invisible(self) -> None:
        text = self.text.text
        # Nearly every file passes here, without a look at its characters.
        found = [] if text.isascii() else [at for at in map(text.find, _INVISIBLE) if at >= 0]
        if found:
            at = min(found)
            name = f"{_INVISIBLE[text[at]]} (U+{ord(text[at]):04X})"
            message = f"{name} stands here, and most programs do not show it."
            self.stop("syntax", (at, at + 1), message, "Delete it, and begin a new line if one is meant.")

    def stop_empty(self) -> NoReturn:
        self.stop("syntax", (0, 0), "This file is empty.", "Write the procedure, or delete the file.")

    def stop_unprintable(self) -> NoReturn:
        # How far the reader came before it met the character depends on the size of its buffer.
        self.troubles.clear()
        span = where_not_printable(self.text.text)
        self.stop("syntax", span, "A control character stands in this file.", "Delete it.")

    def stop_broken(self, error: yaml.MarkedYAMLError) -> NoReturn:
        """Note where and why the reader gave up."""
        # Only what builds values from events leaves the mark out.
        assert error.problem_mark is not None
        at, said = error.problem_mark.index, str(error.problem)
        if "nesting depth" in said:
            self.stop_too_deep(at)
        conflict = conflict_in(self.text.text)
        if conflict is not None:
            self.stop("syntax", conflict, *CONFLICT)
        self.stop_at_quote(never_closed(error), runs_on(self.text.text, at))
        at, message, change = in_plain_words(self.text.text, at, said)
        self.stop("syntax", (at, min(at + 1, len(self.text.text))), message, change)

    def stop_at_quote(self, opened: int | None, too_long: tuple[int, int] | None) -> None:
        """Note the quotation mark that is to blame, if one is: what stands where the reader gave up is not."""
        if opened is not None:
            message = "A quotation mark that opens here is never closed."
            self.stop("syntax", (opened, opened + 1), message, "Close the quotation mark.")
        if too_long is not None:
            start, end = too_long
            message = "A text in quotes begins here, and ends lines below with more behind it."
            self.note("syntax", (start, start + 1), message, "Close the quotation mark where the text ends.")
            other = Place(self.text.name, tuple(self.path), None, (end - 1, end))
            self.troubles[-1] = self.troubles[-1]._replace(other=other)
            raise _Stop

    def stop_too_deep(self, at: int) -> NoReturn:
        message = f"This is nested more than {self.limits.depth} deep."
        self.stop("limit", (at, at + 1), message, "Write it flatter.")

    def stop(self, kind: str, span: tuple[int, int], message: str, change: str) -> NoReturn:
        self.note(kind, span, message, change)
        raise _Stop

    def note(self, kind: str, span: tuple[int, int], message: str, change: str) -> None:
        place = Place(self.text.name, tuple(self.path), None, span)
        self.troubles.append(Trouble(kind, place, message, change))


_Alias = yaml.AliasEvent
_Scalar: type[Event] = yaml.ScalarEvent
_MappingStart, _MappingEnd, _SequenceEnd = yaml.MappingStartEvent, yaml.MappingEndEvent, yaml.SequenceEndEvent
_NODE_STARTS = (yaml.ScalarEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent, yaml.AliasEvent)
_INVISIBLE = {
    "\x85": "A next-line character",
    "\u2028": "A line separator",
    "\u2029": "A paragraph separator",
    "\ufeff": "A byte-order mark",
}


def _span(event: Event) -> tuple[int, int]:
    return event.start_mark.index, event.end_mark.index


def _end(event: Event, last: Node) -> int:
    """Give the end of a container: its bracket's, else its last value's, as the event is at what follows."""
    end: int = event.end_mark.index
    return end if end > event.start_mark.index else last.end
