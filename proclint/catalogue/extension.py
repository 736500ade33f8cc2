"""A library's own words beside the standard ones."""

from collections.abc import Mapping

from proclint.catalogue.catalogue import Catalogue
from proclint.catalogue.contradictions import clashes, contradictions
from proclint.catalogue.own import read_own
from proclint.catalogue.packaged import Tree


def extended(catalogue: Catalogue, extra: Mapping[str, Tree], origin: str) -> Catalogue:
    """Give a larger catalogue. Raises CatalogueProblem for the first thing that is wrong with `extra`."""
    own = read_own(extra, origin, catalogue.signal_words)
    for problem in clashes(own, catalogue):
        raise problem
    larger = Catalogue(catalogue.own.and_also(own))
    for problem in contradictions(larger):
        raise problem
    return larger
