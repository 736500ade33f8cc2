"""Model years of which no row of a model's tables speaks, though rows before and after them do."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.facts import in_words
from proclint.analysis.facts.boxes import Box, gaps, lowest
from proclint.analysis.facts.claims import Application
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.overlaps import is_one_model


class Hole(NamedTuple):
    """Years that are left out, in words with their model, and the row that speaks of the first year after them."""

    vehicles: str
    after: Application


def holes(evidence: Evidence) -> Iterator[Hole]:
    """Give the years left out, model by model; what markets or variants leave out is not asked."""
    space = evidence.space
    make, model, years = (space.axis(name) for name in ("make", "model", "years"))
    groups: dict[tuple[int, int], list[Application]] = {}
    # A report speaks of one vehicle, and fills no gap.
    for each in (one for table in evidence.read for one in table.applications):
        groups.setdefault((each.box[make], each.box[model]), []).append(each)
    for key, group in groups.items():
        if is_one_model(key):
            spans: list[Box] = [(*key, each.box[years]) for each in group]
            for *_, hole in gaps(spans, 2):
                whole = list(space.everything)
                whole[make], whole[model], whole[years] = *key, hole
                after = min((each for each in group if lowest(each.box[years]) > lowest(hole)), key=lambda one: one.box[years])
                yield Hole(in_words.vehicles(tuple(whole), space), after)
