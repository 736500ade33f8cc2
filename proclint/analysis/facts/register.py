"""The register as what is weighed: each source with its rank in the order of trust, and each field report as a source."""

from collections.abc import Iterable, Iterator

from proclint.analysis.facts.boxes import Box
from proclint.analysis.facts.sources import Source
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.tables import REPORTS, Reporter
from proclint.catalogue.domains import Unfit
from proclint.model import Registered

# A member who tells what was seen on one vehicle is as near to it as whoever keeps a log.
_REPORT_KIND = "bench-or-field-log"


def register_of(
    entries: Iterable[Registered], reporters: Iterable[Reporter], trust: tuple[str, ...], space: Space
) -> dict[str, Source]:
    """Give each source by its id; `trust` are kinds of source, the most trusted first, and what is not among them comes last."""
    known = {each.id: _source(each, _rank(each.kind, trust), space) for each in entries}
    rank = _rank(_REPORT_KIND, trust)
    for each in reporters:
        known[each.source] = Source(each.source, rank, each.on, observed=True, observers=(each.by,))
    return known


def _rank(kind: str, trust: tuple[str, ...]) -> int:
    return trust.index(kind) + 1 if kind in trust else len(trust) + 1


def _source(entry: Registered, rank: int, space: Space) -> Source:
    copied = tuple(word.text for word in entry.copied_from)
    covers = tuple(_boxes(entry, space))
    return Source(entry.id, rank, entry.date, bool(entry.observers), copied, entry.observers, covers)


def _boxes(entry: Registered, space: Space) -> Iterator[Box]:
    for said in entry.covers:
        box = space.box(said)
        if not isinstance(box, Unfit):
            yield box


def source_of(file: str) -> str:
    """Give the id of the source whose facts a file holds: the file's own name."""
    return file.rpartition("/")[2].removesuffix(".csv")


def is_of_reports(file: str) -> bool:
    """Whether a file holds field reports, a line each, and not what one source says."""
    return source_of(file) == REPORTS
