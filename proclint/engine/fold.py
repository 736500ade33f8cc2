"""One cause, one result."""

from collections.abc import Iterable
from dataclasses import replace

from proclint.engine.report import Reported
from proclint.results import Level, Result
from proclint.source import Place


def fold(results: Iterable[Reported]) -> tuple[Reported, ...]:
    """Put results with the same rule, subject and `because` under the first of them.

    A result whose `because` is the place of another rule's error goes under that error.
    """
    # Heads first: what has no other cause than itself may have to take in a result of more danger.
    ordered = sorted(results, key=lambda each: (each.result.because is not None, each.order))
    errors = {each.result.at: each for each in ordered if each.level is Level.ERROR and each.result.because is None}
    heads: dict[object, Reported] = {}
    under: dict[object, list[Result]] = {}
    for index, each in enumerate(ordered):
        key = _key(each, errors, index)
        if key in heads:
            under[key].append(each.result)
        else:
            heads[key] = each
            under[key] = []
    return tuple(replace(each, also=tuple(under[key])) if under[key] else each for key, each in heads.items())


def _key(each: Reported, errors: dict[Place, Reported], index: int) -> object:
    because = each.result.because
    if because is None:
        known = errors.get(each.result.at)
        return each.result.at if known is each else index
    if because in errors:
        return because
    return (each.rule.id, each.result.subject, because)
