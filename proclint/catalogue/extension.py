"""A library's own words beside the standard ones."""

from collections.abc import Mapping

from proclint.catalogue.catalogue import Catalogue
from proclint.catalogue.own import read_own
from proclint.catalogue.packaged import Tree


def extended(catalogue: Catalogue, extra: Mapping[str, Tree], *, origin: str) -> Catalogue:
    """Give a catalogue with a library's own variables, actions, hazards, attributes and words.

    `origin` is their file. Raises CatalogueProblem for what does not fit, bears a name that is taken, or
    contradicts the rest.
    """
    # Only a library with words of its own pays for what looks at them.
    from proclint.catalogue.contradictions import clashes

    own = read_own(extra, origin, catalogue.signal_words)
    for problem in clashes(own, catalogue):
        raise problem
    return checked(Catalogue(catalogue.own.and_also(own)))


def checked(catalogue: Catalogue) -> Catalogue:
    """Give a catalogue whose topics agree with one another. Raises CatalogueProblem where they do not."""
    from proclint.catalogue.contradictions import contradictions

    for problem in contradictions(catalogue):
        raise problem
    return catalogue
