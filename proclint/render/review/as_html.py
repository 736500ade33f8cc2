"""A review as one HTML page that loads nothing, runs nothing, and reads the same on paper."""

from base64 import b64encode
from collections.abc import Iterable, Iterator
from functools import singledispatch
from hashlib import sha256
from html import escape

from proclint.render.bars import bounds_of, legend_of, letters_of, segments_of, slack_of
from proclint.render.plain import harmless
from proclint.render.review.drawing import bar_of, lines_at, onward, width_of
from proclint.render.review.lanes import Lane, lanes_of
from proclint.render.review.leaf import (
    REST,
    Arrow,
    Bars,
    Chart,
    Finding,
    Findings,
    Folio,
    Grid,
    Items,
    Leaf,
    Part,
    Place,
    Prose,
    Section,
    Stop,
)
from proclint.render.review.style import CSS


def html_review(folio: Folio) -> str:
    """Write a review as a page."""
    titles = ", ".join(leaf.title for leaf in folio.leaves[:3]) or "nothing"
    leaves = "".join(_leaf(leaf, number) for number, leaf in enumerate(folio.leaves, start=1))
    sections = "".join(_section(section, str(number)) for number, section in enumerate(folio.sections, start=1))
    others = f'<div class="leaf"><h2>{_text(REST)}</h2>{sections}</div>' if sections else ""
    closing = "".join(f"<p>{_text(line)}</p>" for line in folio.closing)
    header = f"<header><h1>{_text(folio.title)}</h1><p>{_text(folio.lead)}</p>{_contents(folio.leaves)}</header>"
    body = f"{header}<main>{leaves}{others}</main><footer>{closing}</footer>"
    return f'<!doctype html>\n<html lang="en">\n<head>{_head(f"{folio.title}: {titles}")}</head>\n<body>{body}</body>\n</html>\n'


def _head(title: str) -> str:
    policy = f"default-src 'none'; style-src 'sha256-{_digest(CSS)}'; base-uri 'none'; form-action 'none'"
    return (
        f'<meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="referrer" content="no-referrer">'
        f"<title>{_text(title)}</title><style>{CSS}</style>"
    )


def _digest(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()


def _text(text: str) -> str:
    return escape(harmless(text))


def _contents(leaves: tuple[Leaf, ...]) -> str:
    """Give links to the files, where there are several."""
    if len(leaves) < 2:
        return ""
    items = (
        f'<li><a href="#file-{number}">{_text(leaf.title)}</a>: {_text(leaf.verdict)}</li>'
        for number, leaf in enumerate(leaves, start=1)
    )
    return f'<nav aria-label="Files"><ul>{"".join(items)}</ul></nav>'


def _leaf(leaf: Leaf, number: int) -> str:
    sections = "".join(_section(section, str(rank)) for rank, section in enumerate(leaf.sections, start=1))
    return (
        f'<article class="leaf" id="file-{number}"><h2>{_text(leaf.title)}</h2><p class="file">{_text(leaf.file)}</p>'
        f"{_verdict(leaf)}{_facts(leaf.head)}{sections}</article>"
    )


def _verdict(leaf: Leaf) -> str:
    lost = f"<p>{_text(leaf.lost)}</p>" if leaf.lost else ""
    kind = "verdict blocked" if leaf.is_blocked else "verdict"
    return f'<div class="{kind}"><p><strong>{_text(leaf.verdict)}</strong></p>{lost}</div>'


def _facts(facts: Iterable[tuple[str, str]]) -> str:
    rows = "".join(f"<div><dt>{_text(label)}</dt><dd>{_text(text)}</dd></div>" for label, text in facts)
    return f"<dl>{rows}</dl>"


def _section(section: Section, number: str) -> str:
    body = "".join(_part(part) for part in section.parts)
    short = f'<p class="short">{_text(section.in_short)}</p>'
    return f"<section><h3><b>{number}</b> {_text(section.title)}</h3>{short}{body}</section>"


@singledispatch
def _part(part: Part) -> str:
    raise TypeError(type(part).__name__)


@_part.register
def _(part: Prose) -> str:
    return f"<p>{_text(part.text)}</p>"


@_part.register
def _(part: Items) -> str:
    return f"<ul>{''.join(f'<li>{_text(item)}</li>' for item in part.items)}</ul>"


@_part.register
def _(part: Grid) -> str:
    # The roles keep it a table where a narrow page sets it in blocks.
    head = "".join(f'<th scope="col" role="columnheader">{_text(name)}</th>' for name in part.head)
    rows = "".join(f'<tr role="row">{"".join(_cells(part.head, row))}</tr>' for row in part.rows)
    return (
        f'<table role="table"><caption>{_text(part.caption)}</caption><thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{rows}</tbody></table>'
    )


def _cells(head: tuple[str, ...], row: tuple[str, ...]) -> Iterator[str]:
    yield f'<th scope="row" role="rowheader">{_text(row[0])}</th>'
    for label, cell in zip(head[1:], row[1:], strict=True):
        yield f'<td role="cell" data-label="{_text(label)}">{_text(cell)}</td>'


@_part.register
def _(part: Findings) -> str:
    return f'<ul class="found">{"".join(map(_finding, part.found))}</ul>'


def _finding(found: Finding) -> str:
    kind = found.level.partition(",")[0]
    way = "".join(
        f"<li>{_text(chip.step)}{f' <i>{_text(chip.outcome)}</i>' if chip.outcome else ''}</li>"
        if chip.step
        else f'<li class="left">{_text(chip.outcome)}</li>'
        for chip in found.way
    )
    shown = f'<ol class="way" aria-label="The way there">{way}</ol>' if way else ""
    return (
        f'<li><h4><span class="level {kind}">{_text(found.level)}</span>{_text(found.message)}</h4>'
        f'<p class="where">{_text(found.where)} {_text(found.words)}</p>{shown}{_facts(found.said)}</li>'
    )


@_part.register
def _(part: Bars) -> str:
    shown = []
    for bar in part.bars:
        segments = segments_of(bar)
        legend = "".join(f"<li>{_text(line)}</li>" for line in legend_of(segments, letters_of(segments)))
        said = f"<p><strong>{_text(bar.window)}</strong>: {_text(bounds_of(bar))}; slack {_text(', '.join(slack_of(bar)))}</p>"
        shown.append(f'<div class="window">{said}{bar_of(bar)}<ul>{legend}</ul></div>')
    return "".join(shown)


@_part.register
def _(part: Chart) -> str:
    lanes = lanes_of(part.places)
    places = "".join(_place(place, row, lanes) for row, place in enumerate(part.places))
    return f'<ol class="chart">{places}</ol><dl class="stops">{"".join(map(_stop, part.stops))}</dl>'


def _place(place: Place, row: int, lanes: tuple[Lane, ...]) -> str:
    kind = ' class="fallback"' if place.is_fallback else ""
    marks = "".join(f' <strong class="at">{_text(text)}</strong>' for text in place.results)
    words = f"<p>{_text(place.words)}</p>" if place.words != place.name else ""
    notes = f'<p class="aside">{_text("; ".join(place.notes))}</p>' if place.notes else ""
    ways = "".join(f"<li>{_arrow(arrow)}</li>" for arrow in place.arrows)
    step = f"<p><strong>{_text(place.name)}</strong>{marks}</p>{words}{notes}{f'<ul>{ways}</ul>' if ways else ''}"
    gutter = f'<div class="lanes"><svg width="{width_of(lanes)}" height="1" aria-hidden="true"></svg>{lines_at(row, lanes)}</div>'
    number = f'<div class="number">{place.number}{onward() if place.goes_on else ""}</div>'
    return f'<li{kind}>{number}<div class="step">{step}</div>{gutter}</li>'


def _arrow(arrow: Arrow) -> str:
    where = arrow.mark or (str(arrow.row + 1) if arrow.row is not None else "")
    return f"{_text(arrow.outcomes)} → {where} {_text(arrow.target)}"


def _stop(stop: Stop) -> str:
    return f"<div><dt>{stop.mark} {_text(stop.name)}</dt><dd>{_text(stop.kind)}: {_text(stop.tell)}</dd></div>"
