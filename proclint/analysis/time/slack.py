"""Slack: by how much a bound from above could be lowered until nothing can be kept any more."""

from collections.abc import Iterable

from proclint.analysis.time.stn import (
    LIMITS,
    Bound,
    Conflict,
    Holds,
    Kind,
    Leg,
    Open,
    Tag,
    TimeLimits,
    TooMuchWorkError,
    Work,
    total,
)
from proclint.analysis.time.stnu import Network, controllable, search


def slack(network: Network, tag: Tag, *, limits: TimeLimits = LIMITS) -> int | Conflict | Open:
    """Give by how much every `most` of a tag could be lowered and the network still be controllable.

    Below zero it is by how much they would have to be raised. It is never more than the least of them, a bound of
    no time at all. A conflict is one that remains however far they are raised. Raises ValueError where no bound of
    the tag has a `most`.
    """
    mosts = [bound.most for bound in network.bounds if bound.tag == tag and bound.most is not None]
    if not mosts:
        raise ValueError(f"Nothing of the tag {tag!r} is bounded from above.")
    without = controllable(_lowered(network, tag, None), limits=limits)
    if not isinstance(without, Holds):
        return without
    try:
        return _farthest_lowered(network, tag, highest=max(min(mosts), 0), work=Work(limits.edges))
    except TooMuchWorkError:
        return Open("edges", limits.edges)


def _lowered(network: Network, tag: Tag, by: int | None) -> Network:
    """Lower every `most` of a tag; None takes them away."""

    def lowered(bound: Bound) -> Bound:
        if bound.tag != tag or bound.most is None:
            return bound
        return bound._replace(most=None if by is None else bound.most - by)

    return Network(tuple(lowered(bound) for bound in network.bounds), network.spans)


def _farthest_lowered(network: Network, tag: Tag, *, highest: int, work: Work) -> int:
    """Find the last number up to `highest` by which the network still holds.

    A conflict says how far to go back at least, if only its cycle kept its shape; where that holds, the next number is tried,
    in steps that double, until the two numbers are neighbours.
    """
    holds: int | None = None
    fails, guess, step = highest + 1, highest, 1
    while holds is None or fails - holds > 1:
        cycle = search(_lowered(network, tag, guess), work)
        if cycle is None:
            holds, guess, step = guess, min(guess + step, fails - 1), step * 2
        else:
            fails, step = guess, 1
            back = guess - _back(cycle, tag)
            guess = back if holds is None else max(back, holds + 1)
    return holds


def _back(cycle: Iterable[Leg], tag: Tag) -> int:
    """Give by how much a bound would have to be raised for a cycle to be kept."""
    times = sum(leg.times for leg in cycle if leg.tag == tag and leg.kind is Kind.AT_MOST)
    return -(total(cycle) // times)
