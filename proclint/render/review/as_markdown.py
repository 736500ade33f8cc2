"""A review as a comment on a contribution: Markdown (CommonMark with HTML), folded, within the size that a comment may have.

Texts from files stand for themselves: no letter of theirs makes a heading, link, picture, mention or tag.
"""

import re
from collections.abc import Iterator
from functools import singledispatch

from proclint.render.bars import text_of_bars
from proclint.render.plain import harmless
from proclint.render.review.leaf import REST, Bars, Chart, Findings, Folio, Grid, Items, Leaf, Part, Prose, Section
from proclint.render.review.words import of_chips

# What a comment on GitHub may have, counted in characters (from memory); bytes of UTF-8 are never fewer.
MOST = 65_536
_SPECIAL = re.compile(r"([\\`*_{}\[\]()#+\-.!|~:$^=])")
# A name behind an at sign is called, a number behind a hash sign led to, what begins as an address made a link; not where a tag
# stands between.
_CALLING = re.compile(r"@|\\#|\\:(?=//)|(?i:www(?=\\\.))")
# What is left out first where there is no room.
_FIRST_LEFT_OUT = ("Neighbours", "Slots", "Windows", "Course of the work", "Cautions", "Ways", "Other files", "Results")


def markdown_review(folio: Folio, *, most: int = MOST) -> str:
    """Write a review in at most so many bytes of UTF-8; what has no room is named, and stands there in short."""
    for number in range(len(_FIRST_LEFT_OUT) + 1):
        text = _whole(folio, frozenset(_FIRST_LEFT_OUT[:number]))
        if _size(text) <= most:
            return text
    return _shortest(folio, most)


def _size(text: str) -> int:
    return len(text.encode())


def _whole(folio: Folio, left_out: frozenset[str]) -> str:
    parts = [f"## {folio.title}", inert(folio.lead)]
    for leaf in folio.leaves:
        parts += _leaf(leaf, left_out)
    parts += [f"### {inert(REST)}"] if folio.sections else []
    parts += [_folded(section, left_out) for section in folio.sections]
    if left_out:
        named = ", ".join(name for name in _FIRST_LEFT_OUT if name in left_out)
        parts.append(f"No room here, and in full in the other forms of this review: {named}.")
    return "\n\n".join((*parts, *map(inert, folio.closing))) + "\n"


def _shortest(folio: Folio, most: int) -> str:
    """Give a line for each file, as many as there is room for."""
    ending = "\n\n".join(("No room here for more: see the other forms of this review.", *map(inert, folio.closing))) + "\n"
    text = f"## {folio.title}\n\n{inert(folio.lead)}\n\n"
    for number, leaf in enumerate(folio.leaves):
        line = f"- {code(leaf.file)}: {inert(leaf.verdict)}\n"
        left = f"- {len(folio.leaves) - number} more\n\n"
        if _size(text + line + left + ending) > most:
            return text + left + ending
        text += line
    return f"{text}\n{ending}"


def _leaf(leaf: Leaf, left_out: frozenset[str]) -> Iterator[str]:
    yield f"### {inert(leaf.title)}"
    yield code(leaf.file)
    yield f"**{inert(leaf.verdict)}**"
    if leaf.lost:
        yield f"**{inert(leaf.lost)}**"
    yield "\n".join(f"- {inert(label)}: {inert(text)}" for label, text in leaf.head)
    yield from (_folded(section, left_out) for section in leaf.sections)


def _folded(section: Section, left_out: frozenset[str]) -> str:
    title = f"{escaped(section.title)}: {escaped(section.in_short)}"
    if section.title in left_out:
        return f"{inert(section.title)}: {inert(section.in_short)}"
    body = "\n\n".join(_part(part) for part in section.parts)
    return f"<details><summary>{title}</summary>\n\n{body}\n\n</details>"


@singledispatch
def _part(part: Part) -> str:
    raise TypeError(type(part).__name__)


@_part.register
def _(part: Prose) -> str:
    return inert(part.text)


@_part.register
def _(part: Items) -> str:
    return "\n".join(f"- {inert(item)}" for item in part.items)


@_part.register
def _(part: Grid) -> str:
    lines = [part.head, tuple("---" for _ in part.head)]
    rows = [" | ".join(lines[0]), " | ".join(lines[1]), *(" | ".join(inert(cell) or " " for cell in row) for row in part.rows)]
    return f"{inert(part.caption)}\n\n" + "\n".join(f"| {row} |" for row in rows)


@_part.register
def _(part: Findings) -> str:
    lines = []
    for found in part.found:
        lines.append(f"- **{inert(found.level)}** {inert(found.message)}")
        lines.append(f"  - {code(f'{found.where} {found.words}')}")
        if found.way:
            lines.append(f"  - way: {inert(of_chips(found.way))}")
        lines += [f"  - {inert(label)}: {inert(text)}" for label, text in found.said]
    return "\n".join(lines)


@_part.register
def _(part: Bars) -> str:
    # Indented, a block of code has no end that a text could write.
    return "\n".join(f"    {harmless(line)}" for line in text_of_bars(part.bars).split("\n"))


@_part.register
def _(part: Chart) -> str:
    lines = []
    for place in part.places:
        ways = [f"{arrow.outcomes} to {arrow.mark or arrow.target}" for arrow in place.arrows]
        results = "".join(f" **{inert(text)} here**" for text in place.results)
        lines.append(f"1. {inert(place.name)}: {inert('; '.join((place.words, *place.notes, *ways)))}{results}")
    stops = [f"- {inert(f'{stop.mark} {stop.name} ({stop.kind}): {stop.tell}')}" for stop in part.stops]
    return "\n".join(lines) + "\n\n" + "\n".join(stops)


def escaped(text: str) -> str:
    """Give a text for HTML inside of Markdown: as itself, whatever it says."""
    shown = harmless(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")
    return re.sub(r"[@#]|(?i:www)(?=\.)", lambda found: f"<span>{found[0]}</span>", shown.replace("://", "<span>:</span>//"))


def inert(text: str) -> str:
    """Give a text for Markdown: as itself, whatever it says."""
    shown = " ".join(harmless(text).split()).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return _CALLING.sub(lambda found: f"<span>{found[0]}</span>", _SPECIAL.sub(r"\\\1", shown))


def code(text: str) -> str:
    """Give a text as a span of code, fenced by more backticks than it holds."""
    shown = " ".join(harmless(text).split()) or " "
    longest = max((len(each) for each in re.findall("`+", shown)), default=0)
    fence = "`" * (longest + 1)
    return f"{fence} {shown} {fence}" if "`" in shown else f"{fence}{shown}{fence}"
