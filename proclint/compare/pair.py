"""Two versions of one procedure or block, as everything that compares them is given them."""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from proclint.analysis import Study
from proclint.catalogue import Catalogue
from proclint.compare.align import Aligned
from proclint.compare.travels import Travels, travels
from proclint.source import Place

Places: TypeAlias = tuple[Place | None, Place | None]


@dataclass(frozen=True)
class Pair:
    """The old version under the names of the new one, the new version, and how names were matched."""

    old: Study
    new: Study
    aligned: Aligned

    @property
    def catalogue(self) -> Catalogue:
        """The words of the trade as the new version has them."""
        return self.new.catalogue

    @cached_property
    def travels(self) -> Travels:
        """What went from one step to another."""
        return travels(self.old, self.new, self.aligned)

    def places(self, old: Place, new: Place, field: str) -> Places:
        """Give the places of a field in both versions; where it is missing, of what it is missing in."""
        return old / field, new / field
