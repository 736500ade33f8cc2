"""A library's own words beside the standard ones."""

from collections.abc import Mapping

from proclint.catalogue.catalogue import Catalogue
from proclint.catalogue.contradictions import clashes, contradictions
from proclint.catalogue.own import read_own
from proclint.catalogue.packaged import Tree


def extended(catalogue: Catalogue, extra: Mapping[str, Tree], *, origin: str) -> Catalogue:
    """Give a catalogue with a library's own variables, actions, hazards, attributes and words.

    `origin` is their file. Raises CatalogueProblem for what does not fit, bears a name that is taken, or
    contradicts the rest.
    """
    own = read_own(extra, origin, catalogue.signal_words)
    for problem in clashes(own, catalogue):
        raise problem
    larger = Catalogue(catalogue.own.and_also(own))
    for problem in contradictions(larger):
        raise problem
    return larger
