"""What is known of the times of one procedure or block; each thing is worked out when it is asked for."""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.rough import Rough
from proclint.analysis.windows import Region

if TYPE_CHECKING:
    # Networks and sums are loaded only for a file that needs them.
    from proclint.analysis.time.job import WayTime
    from proclint.analysis.time.keeping import Clash, Windows, WindowTime
    from proclint.analysis.time.laying import Piece
    from proclint.analysis.time.nesting import Outlived
    from proclint.analysis.time.slips import Slips
    from proclint.analysis.time.spans import Spans
    from proclint.analysis.time.stn import Open


@dataclass(frozen=True)
class Times:
    """The times of one flow."""

    written: Written
    shelf: Shelf

    @cached_property
    def pace(self) -> Pace:
        """How long its lines take."""
        return Pace.of(self.written.flow, self.shelf.catalogue)

    @cached_property
    def _rough(self) -> Rough:
        return Rough(self.written, self.pace)

    @cached_property
    def marked(self) -> tuple[Region, ...]:
        """The windows that some line opens and some line closes."""
        return tuple(region for region in self.written.regions if region.openers and region.closers)

    @cached_property
    def doubtful(self) -> "tuple[Windows, ...]":
        """The windows that may not be kept and have to be looked at closely, with those that can be open at once."""
        unsure = [region for region in self.marked if not self._rough.fits(region)]
        return tuple(each for each in self.windows if any(region in unsure for region in each.regions)) if unsure else ()

    @cached_property
    def outwaited(self) -> "tuple[tuple[WindowTime, Piece], ...]":
        """The windows in which something is to last as long as the window may, with that."""
        found = ((window, window.outwaited) for window in self._summed)
        return tuple((window, wait) for window, wait in found if wait is not None)

    @cached_property
    def missed(self) -> "tuple[WindowTime, ...]":
        """The windows that some hand cannot keep, no wait alone breaking them; a late way excuses a slow hand."""
        broken = (window for window in self._summed if window.broken_at is not None and window.outwaited is None)
        return tuple(window for window in broken if not window.is_excused)

    @property
    def _summed(self) -> "tuple[WindowTime, ...]":
        return tuple(window for windows in self.doubtful if windows.no_sums is None for window in windows.each)

    @cached_property
    def clashes(self) -> "tuple[Clash, ...]":
        """The bounds of windows that some hand cannot keep all, though each by itself; a slow one is excused by late ways."""
        return tuple(each.clash for each in self.doubtful if each.clash is not None and not each.is_excused)

    @cached_property
    def undecided(self) -> "tuple[tuple[Region, Open], ...]":
        """The windows of which it could not be decided whether they can be kept, and which limit was met."""
        return tuple((region, each.limit) for each in self.doubtful if each.limit is not None for region in each.undecided)

    @cached_property
    def windows(self) -> "tuple[Windows, ...]":
        """All windows that are opened and closed, those that can be open at once together."""
        from proclint.analysis.time.keeping import Windows
        from proclint.analysis.time.laying import together

        return tuple(Windows(regions, self.written, self.pace, self.spans) for regions in together(self.marked))

    @cached_property
    def spans(self) -> "Spans":
        """How long the ways through it take, and those through its blocks."""
        from proclint.analysis.time.spans import Spans

        return Spans(self.shelf)

    @cached_property
    def outlived(self) -> "tuple[Outlived, ...]":
        """The windows inside others that may end only after those."""
        if len(self.marked) < 2:
            return ()
        from proclint.analysis.time.nesting import may_outlive, nested, outlived

        pairs = [pair for pair in nested(self.marked) if may_outlive(*pair, self._rough)]
        found = [outlived(*(self._window(region) for region in pair)) for pair in pairs]
        return tuple(each for each in found if each is not None)

    def _window(self, region: Region) -> "WindowTime":
        return next(each for windows in self.windows for each in windows.each if each.region is region)

    @cached_property
    def ways(self) -> "tuple[WayTime, ...]":
        """The times of the ways to each ending."""
        from proclint.analysis.time.job import ways_of_job

        return tuple(ways_of_job(self.written, self.pace, self.spans))

    @cached_property
    def slips(self) -> "Slips":
        """What is wrong with the times of single lines and texts."""
        from proclint.analysis.time.slips import Slips

        return Slips(self.written, self.pace, self.shelf)
