"""A rule's page, taken apart and laid out: for the terminal, as plain sentences, and in Markdown."""

import re
import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

from proclint.results import Harm
from proclint.rule import Rule

_WIDTH = 100
_FENCE = re.compile(r"^```yaml (bad|good)\n(.*?)^```[ \t]*$", re.MULTILINE | re.DOTALL)
_MARK = re.compile(r"^( *)(.*?)[ \t]*#[ \t]*<-[ \t]*(.+?)[ \t]*$")
_HEADINGS = {"bad": "To avoid:", "good": "To follow:"}
_GUARDS = {
    Harm.LIFE: "loss of life",
    Harm.INJURY: "injury",
    Harm.NO_KEY: "being left without a key that works",
    Harm.DAMAGE: "damage to the vehicle",
    Harm.TIME: "time lost at the vehicle",
    Harm.READER: "a procedure that is misread",
}


class Shown(NamedTuple):
    """An example on a page: `bad` or `good`, its heading, and its text with the marks still in it."""

    kind: str
    heading: str
    text: str


class Page(NamedTuple):
    """A page without its title: the paragraphs, each in one line, and the examples."""

    paragraphs: tuple[str, ...]
    examples: tuple[Shown, ...]


def page_of(rule: Rule) -> Page:
    """Take a rule's page apart. A paragraph before an example that ends with a colon is the heading of it."""
    texts = _FENCE.split(rule.page.strip().partition("\n")[2])
    paragraphs: list[str] = []
    examples = []
    for text, kind, example in zip(texts[::3], texts[1::3], texts[2::3], strict=False):
        paragraphs += _paragraphs(text)
        has_own = bool(paragraphs) and paragraphs[-1].endswith(":")
        examples.append(Shown(kind, paragraphs.pop() if has_own else _HEADINGS[kind], example))
    return Page((*paragraphs, *_paragraphs(texts[-1])), tuple(examples))


def _paragraphs(text: str) -> list[str]:
    return [" ".join(each.split()) for each in re.split(r"\n[ \t]*\n", text) if each.strip()]


def rule_list(rules: Iterable[Rule]) -> str:
    """Render the rules group by group: id, highest level, title."""
    known = tuple(rules)
    widest = max((len(rule.id) for rule in known), default=0)
    parts = []
    for group, members in groupby(known, key=lambda rule: rule.group):
        lines = [f"  {rule.id:<{widest}}  {rule.level.value:<7}  {rule.title}" for rule in members]
        parts.append("\n".join([group, *lines]))
    count = f"{len(known)} rule{'' if len(known) == 1 else 's'}"
    parts.append(f"{count}. `proclint rules RULE` shows the page of one.")
    return "\n\n".join(parts) + "\n"


def rule_page(rule: Rule) -> str:
    """Render a rule's page for the terminal."""
    page = page_of(rule)
    parts = [f"{rule.id}\n{rule.title}.", "\n".join(_facts(rule))]
    parts += [textwrap.fill(each, _WIDTH, break_on_hyphens=False) for each in page.paragraphs]
    for example in page.examples:
        parts += [textwrap.fill(example.heading, _WIDTH), "\n".join(_example_lines(example.text))]
    return "\n\n".join(parts) + "\n"


def _facts(rule: Rule) -> Iterator[str]:
    yield f"level   {' or '.join(rule.levels)}"
    yield f"guards  against {_GUARDS[rule.harm]}"
    yield f"group   {rule.group}"


def _example_lines(text: str) -> Iterator[str]:
    for line in text.rstrip("\n").split("\n"):
        mark = _MARK.match(line)
        if mark is None:
            yield f"    {line}".rstrip()
            continue
        indent, written, message = mark.groups()
        yield f"    {indent}{written}"
        yield f"    {indent}=> {message}"


def prose(rule: Rule) -> str:
    """Give what a page says beside title and examples, as plain paragraphs; the title where that is all."""
    return "\n\n".join(page_of(rule).paragraphs) or f"{rule.title}."


def markdown_page(rule: Rule) -> str:
    """Give a page in Markdown, with the examples as blocks of code."""
    page = page_of(rule)
    parts = [f"# {rule.id}", f"**{_without_html(rule.title)}.**", *map(_without_html, page.paragraphs)]
    for example in page.examples:
        parts += [_without_html(example.heading), f"```yaml\n{example.text}```"]
    return "\n\n".join(parts) + "\n"


def _without_html(text: str) -> str:
    return re.sub(r"<(?=[A-Za-z/!?])", r"\\<", text)
