"""A review laid out as leaves: the same for every form in which it is written."""

from collections.abc import Iterator

from proclint.render.review.around import (
    facts_of,
    section_of_changes,
    section_of_neighbours,
    section_of_others,
    section_of_unchecked,
)
from proclint.render.review.chart import section_of_course
from proclint.render.review.dangers import counts_of, section_of_cautions, section_of_results, section_of_results_around
from proclint.render.review.ends import section_of_slots, section_of_ways, section_of_windows
from proclint.render.review.leaf import Folio, Leaf, Section
from proclint.render.text import CLOSING
from proclint.review import Account, Review
from proclint.telling import counted


def folio_of(review: Review) -> Folio:
    """Lay a review out."""
    around = (section_of_results_around(review.results_around, review.report), section_of_others(review.others))
    return Folio(
        title="Review",
        lead=" ".join(_lead(review)),
        leaves=tuple(_leaf(each, review) for each in review.accounts),
        sections=tuple(each for each in around if each is not None),
        closing=tuple(_closing(review)),
    )


def _lead(review: Review) -> Iterator[str]:
    against = f"held against {review.against}" if review.against else "held against nothing"
    yield f"{counted(len(review.accounts), 'file', 'files')} accounted for, {against}."
    if review.results_around:
        yield f"In other files: {counts_of(review.results_around)}."
    differing = sum(each.is_of_itself for each in review.others)
    if differing:
        yield f"{counted(differing, 'other file differs', 'other files differ')}."
    if review.is_same:
        yield "No change in meaning."


def _leaf(account: Account, review: Review) -> Leaf:
    facts = (*facts_of(account.head), ("results", counts_of(account.results)), ("accepted", str(len(account.accepted))))
    verdict = account.verdict
    sections = tuple(each for each in _sections(account, review) if each is not None)
    return Leaf(account.head.title, account.file, facts, verdict.is_blocked, verdict.said, verdict.lost, sections)


def _sections(account: Account, review: Review) -> Iterator[Section | None]:
    yield section_of_results(account, review.report)
    yield section_of_changes(account.change)
    yield section_of_course(account)
    if account.inside is not None:
        yield section_of_ways(account.inside, is_block=account.kind == "block")
        yield section_of_windows(account.inside)
        yield section_of_slots(account.inside)
        yield section_of_cautions(account)
        yield section_of_neighbours(account.inside.neighbours)
    yield section_of_unchecked(account.unchecked)


def _closing(review: Review) -> Iterator[str]:
    report = review.report
    for fault in report.own_faults:
        yield f"Fault of proclint: the rule {fault.rule} broke down on {fault.file} ({fault.error})."
    files = counted(len(report.files), "file", "files")
    yield f"Checked on {review.on}: {files} by {len(report.rules)} rules."
    yield CLOSING
    yield "Local law, the maker's instructions and licensed practice come first."
