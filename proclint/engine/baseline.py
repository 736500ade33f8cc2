"""How results stand to those of an earlier version: found again by fingerprint (SARIF 2.1.0, 3.27.24)."""

from collections import Counter
from collections.abc import Iterable

from proclint.engine.report import Report, Reported, Since
from proclint.results import Level, State

_RANKS = {level: rank for rank, level in enumerate(Level)}


def compared(now: Report, before: Report, revision: str) -> Report:
    """Give a report whose results say how they stand to those of an earlier version, and which of those are gone."""
    found_now, found_before = (*now.results, *now.accepted), (*before.results, *before.accepted)
    known = _found_again(found_now, found_before)
    met = {id(each) for each in known.values()}
    absent = tuple(each._replace(state=State.ABSENT, counts=False) for each in found_before if id(each) not in met)
    return now._replace(
        results=tuple(_stated(each, known.get(each.fingerprint)) for each in now.results),
        accepted=tuple(_stated(each, known.get(each.fingerprint)) for each in now.accepted),
        since=Since(revision, absent, before.texts),
    )


def _found_again(now: Iterable[Reported], before: Iterable[Reported]) -> dict[str, Reported]:
    """Give, for the fingerprint of each result that was there before, what it was."""
    by_mark = {each.fingerprint: each for each in before}
    known = {each.fingerprint: by_mark[each.fingerprint] for each in now if each.fingerprint in by_mark}
    # Of results with one cause another may stand first where files have other names now.
    groups = {_group(each): each for each in by_mark.values() if each.also and each.fingerprint not in known}
    for each in now:
        if each.also and each.fingerprint not in known and _group(each) in groups:
            known[each.fingerprint] = groups.pop(_group(each))
    return known


def _group(each: Reported) -> tuple[str, tuple[tuple[str, str], ...]]:
    return each.rule.id, tuple(sorted([*_said(each).elements(), (each.result.subject, each.result.message)]))


def _said(each: Reported) -> Counter[tuple[str, str]]:
    return Counter((other.subject, other.message) for other in each.also)


def _stated(each: Reported, old: Reported | None) -> Reported:
    if old is None:
        return each._replace(state=State.NEW)
    state = State.UNCHANGED if _words(each) == _words(old) else State.UPDATED
    return each._replace(state=state, counts=_is_worse(each, old))


def _words(each: Reported) -> tuple[object, ...]:
    result = each.result
    texts = (result.message, result.why, result.change, result.kind)
    return (*texts, each.level, each.acceptance is None, _said(each))


def _is_worse(each: Reported, old: Reported) -> bool:
    """Whether a result weighs more than it did, is accepted no longer, or says something that it did not say."""
    weighs_more = _RANKS[each.weighs] < _RANKS[old.weighs]
    is_let_go = old.acceptance is not None and each.acceptance is None
    return weighs_more or is_let_go or bool(_said(each) - _said(old))
