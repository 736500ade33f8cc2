"""Windows as bars in text: what is done letter by letter, and what is left as dots.

A small letter is a hand's time, a capital that of vehicle or equipment at its longest. Where the steps do not fit, a `|` stands
where the window ends.
"""

import textwrap
from collections.abc import Iterable, Iterator
from string import ascii_lowercase

from proclint.analysis.time.bars import Bar, Segment
from proclint.analysis.time.lengths import HANDS
from proclint.analysis.time.spoken import spoken
from proclint.render.plain import harmless

WIDTH = 78
_INDENT = "  "
_CELLS = WIDTH - len(_INDENT) - 2


def text_of_bars(bars: Iterable[Bar]) -> str:
    """Draw bars one under the other, in ASCII, at most 78 wide as far as the file's own words are."""
    return "\n".join(line for bar in bars for line in _lines(bar))


def _lines(bar: Bar) -> Iterator[str]:
    yield f"{harmless(bar.window)}: {bounds_of(bar)}"
    segments = segments_of(bar)
    letters = letters_of(segments)
    if segments:
        yield f"{_INDENT}[{_cells(bar, segments, letters)}]"
    yield from _wrapped("; ".join(legend_of(segments, letters)))
    yield from _wrapped(f"slack: {', '.join(slack_of(bar))}")


def bounds_of(bar: Bar) -> str:
    """Say the bounds of a window and what a hand needs."""
    least = [f"at least {spoken(bar.at_least)}"] if bar.at_least is not None else []
    most = [f"at most {spoken(bar.at_most)}"] if bar.at_most is not None else []
    return f"{', '.join(least + most)}; the {bar.hand.name.lower()} hand needs {spoken(bar.ms)}"


def segments_of(bar: Bar) -> tuple[Segment, ...]:
    """Give the segments of a bar, or, where they have more names than there are letters, what each step is in all."""
    if len({name_of(each) for each in bar.segments}) <= len(ascii_lowercase):
        return bar.segments
    return tuple(each._replace(words=each.step, is_given=False) for each in bar.segments)


def name_of(segment: Segment) -> tuple[str, bool]:
    """Give what is the same in segments that bear one letter."""
    return segment.words, segment.is_given


def letters_of(segments: tuple[Segment, ...]) -> dict[tuple[str, bool], str]:
    """Give each thing that is done a letter, in the order in which it first comes."""
    names = dict.fromkeys(map(name_of, segments))
    return {name: letter.upper() if name[1] else letter for name, letter in zip(names, ascii_lowercase, strict=False)}


def _cells(bar: Bar, segments: tuple[Segment, ...], letters: dict[tuple[str, bool], str]) -> str:
    end = bar.ms if bar.at_most is None else max(bar.ms, bar.at_most)
    drawn = ""
    for cell in range(_CELLS):
        at = (2 * cell + 1) * end // (2 * _CELLS)
        drawn += next((letters.get(name_of(each), "?") for each in segments if each.begins <= at < each.begins + each.ms), ".")
    if bar.at_most is None or bar.ms <= bar.at_most:
        return drawn
    limit = bar.at_most * _CELLS // end
    return f"{drawn[:limit]}|{drawn[limit + 1 :]}"


def legend_of(segments: tuple[Segment, ...], letters: dict[tuple[str, bool], str]) -> Iterator[str]:
    """Say for each letter what it stands for, how often it is done and how long it takes in all."""
    for name, letter in letters.items():
        times = [each.ms for each in segments if name_of(each) == name]
        often = f"{len(times)} x " if len(times) > 1 else ""
        yield f"{letter} {often}{harmless(name[0])}: {'up to ' if name[1] else ''}{spoken(sum(times))}"


def slack_of(bar: Bar) -> Iterator[str]:
    """Say what is left for each hand."""
    for hand, left in zip(HANDS, bar.slack, strict=True):
        yield f"{hand.name.lower()} {'not known' if left is None else spoken(left)}"


def _wrapped(text: str) -> list[str]:
    inner = _INDENT * 2
    return textwrap.wrap(text, WIDTH, initial_indent=_INDENT, subsequent_indent=inner, break_on_hyphens=False)
