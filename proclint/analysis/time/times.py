"""What is known of the times of one procedure or block; each thing is worked out when it is asked for."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.rough import Rough
from proclint.analysis.windows import Region

if TYPE_CHECKING:
    # Networks and sums are loaded only for a file that needs them.
    from proclint.analysis.time.keeping import Windows


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
        """The windows that have to be looked at closely, those that can be open together together: the others can surely be kept."""
        regions = self.marked
        if all(map(self._rough.fits, regions)):
            return ()
        unsure = {region.window.name for region in regions if not self._rough.fits(region)}
        return tuple(self._laid(lambda group: any(region.window.name in unsure for region in group)))

    @cached_property
    def windows(self) -> "tuple[Windows, ...]":
        """All windows, those that can be open together together."""
        return tuple(self._laid(lambda _: True))

    def _laid(self, is_wanted):
        from proclint.analysis.time.keeping import Windows
        from proclint.analysis.time.laying import lay_out, together
        from proclint.analysis.time.spans import Spans

        spans = Spans(self.shelf)
        for group in together(self.marked):
            if is_wanted(group):
                yield Windows(lay_out(group, self.written, self.pace, spans))
