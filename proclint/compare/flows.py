"""Two versions of a procedure or of a block: what changed in meaning, the most dangerous first."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.file_study import FileStudy
from proclint.compare.align import align
from proclint.compare.course import is_whole, of_course
from proclint.compare.difference import Difference, in_order
from proclint.compare.head import Tops, of_head, of_vouching
from proclint.compare.pair import Pair
from proclint.compare.parts import of_cautions, of_ends, of_windows
from proclint.compare.steps import of_steps
from proclint.compare.ways import of_order, of_ways
from proclint.model import Flow, canonical

_CUT = "what can be reached in all: with its blocks laid out it has more than {} steps, and the rest was not looked at"


class Version(NamedTuple):
    """One version of a file as read, and the shelf of blocks of its time."""

    file: FileStudy
    shelf: Shelf

    def study(self, flow: Flow, limits: Limits) -> Study:
        """Give what the analyses know of the file's flow, or of the same under other names."""
        return Study(flow, self.shelf, self.file.on, limits)


class FlowComparison(NamedTuple):
    """What differs, the most dangerous first; `not_compared` says what could not be compared and why, empty = all was."""

    differences: tuple[Difference, ...] = ()
    not_compared: str = ""


def compare_flows(old: Version, new: Version, limits: Limits | None = None) -> FlowComparison:
    """Compare two versions of a procedure or of a block, each of which holds a flow."""
    first, second = old.file.flow, new.file.flow
    assert first is not None
    assert second is not None
    if canonical(old.file.at.node) == canonical(new.file.at.node):
        return FlowComparison()
    aligned = align(first, second)
    within = limits or Limits()
    pair = Pair(old.study(aligned.flow, within), new.study(second, within), aligned)
    tops = Tops(old.file.at, new.file.at)
    found = tuple(_differences(pair, tops))
    differences = in_order((*found, *of_vouching(first, second, tops, found)))
    return FlowComparison(differences, "" if is_whole(pair) else _CUT.format(within.nodes))


def _differences(pair: Pair, tops: Tops) -> Iterator[Difference]:
    yield from of_steps(pair)
    yield from of_cautions(pair)
    yield from of_course(pair)
    yield from of_order(pair)
    yield from of_ways(pair)
    yield from of_windows(pair)
    yield from of_ends(pair)
    yield from of_head(pair, tops)
