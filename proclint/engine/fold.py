"""One cause, one result."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from proclint.engine.report import Reported
from proclint.results import Level, Result
from proclint.source import Place


def fold(results: Iterable[Reported]) -> tuple[Reported, ...]:
    """Put results with the same rule, subject and `because` under the first of them.

    A result whose `because` is the place of another rule's error, or of a result of its own rule, goes under that, or under what
    that goes under. What was folded before stays so: files folded one by one can be folded together.
    """
    # Heads first: what has no other cause than itself may have to take in a result of more danger.
    ordered = sorted(results, key=lambda each: (each.result.because is not None, each.order))
    known = _Known.of(ordered)
    heads: dict[object, Reported] = {}
    under: dict[object, list[Result]] = {}
    for each in ordered:
        key = known.key(each)
        if key in heads:
            under[key] += [each.result, *each.also]
        else:
            heads[key] = each
            under[key] = list(each.also)
    return tuple(each._replace(also=tuple(under[key])) if under[key] else each for key, each in heads.items())


class _Known(NamedTuple):
    """What others may name as their cause: at a place the error, what each rule says, and under what that stands already.

    Of two, the one that has no other cause than itself is named.
    """

    errors: Mapping[Place, Reported]
    of_rule: Mapping[tuple[str, Place], Reported]
    heads: Mapping[Place, Reported]

    @classmethod
    def of(cls, ordered: Sequence[Reported]) -> "_Known":
        errors: dict[Place, Reported] = {}
        of_rule: dict[tuple[str, Place], Reported] = {}
        for each in ordered:
            if each.level is Level.ERROR:
                errors.setdefault(each.result.at, each)
            of_rule.setdefault((each.rule.id, each.result.at), each)
        heads = {under.at: each for each in ordered for under in each.also}
        return cls(errors, of_rule, heads)

    def key(self, each: Reported) -> object:
        """Give what results of one cause have in common."""
        seen: set[int] = set()
        while each.result.because is not None and id(each) not in seen:
            seen.add(id(each))
            cause = self._cause(each, each.result.because)
            if cause is None:
                return (each.rule.id, each.result.subject, each.result.because)
            each = cause
        return id(each)

    def _cause(self, each: Reported, because: Place) -> Reported | None:
        own = self.of_rule.get((each.rule.id, because))
        return own if own is not None and own is not each else self.errors.get(because) or self.heads.get(because)
