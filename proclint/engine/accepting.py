"""Results that a person accepted, set apart from those that count."""

from collections.abc import Iterable
from typing import NamedTuple

from proclint.analysis.file_study import FileStudy
from proclint.engine.laying import Laid
from proclint.engine.naming import Path, path_of
from proclint.engine.report import Reported
from proclint.model import Acceptance, read_acceptances


def acceptances_in(studies: Iterable[FileStudy]) -> tuple[Acceptance, ...]:
    """Give the accepted results that files hold; one that is wrong by itself sets none of the others aside."""
    found: tuple[Acceptance, ...] = ()
    for study in studies:
        if study.kind == "accepted" and not study.troubles and study.document is not None:
            wrong = {fault.at.path[:1] for fault in study.faults}
            # What is wrong with the list itself is wrong with all of it.
            kept = () if () in wrong else read_acceptances(study.document)
            found += tuple(each for each in kept if each.at.path not in wrong)
    return found


class Sifted(NamedTuple):
    """Results that count, those that are accepted, and the acceptances that these met."""

    left: tuple[Reported, ...]
    accepted: tuple[Reported, ...]
    met: frozenset[Acceptance]


def sift(results: Iterable[Reported], acceptances: tuple[Acceptance, ...], laid: Laid) -> Sifted:
    """Set apart what a person accepted."""
    left, accepted, met = [], [], set()
    studies = laid.by_name if acceptances else {}
    for each in results:
        path = path_of(each.result.at, studies.get(each.result.at.file), laid.bench.shelf.catalogue)
        taken = _acceptance_of(each, path, acceptances, laid.bench.on)
        if taken is None:
            left.append(each)
        else:
            met.add(taken)
            accepted.append(each._replace(acceptance=taken))
    return Sifted(tuple(left), tuple(accepted), frozenset(met))


def _acceptance_of(each: Reported, path: Path, acceptances: tuple[Acceptance, ...], on: str) -> Acceptance | None:
    if each.rule.never_accepted:
        return None
    for acceptance in acceptances:
        if acceptance.meets(each.rule.id, each.result.subject, each.owner, path) and acceptance.until >= on:
            return acceptance
    return None
