"""The bar that a change is held to: the one that stood before it.

Levels, the failing level and accepted results are taken as they were. What the change lowers or turns off is given apart,
to be told as an error of its own.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import Lowered
from proclint.engine.accepting import acceptances_in
from proclint.engine.laying import Laid
from proclint.engine.whole import Bar
from proclint.model import Acceptance, Flow
from proclint.results import Level
from proclint.settings import Settings
from proclint.source import Place

_OFF = "off"
_RANKS = {None: -1, Level.NOTE: 0, Level.WARNING: 1, Level.ERROR: 2}


class Sides(NamedTuple):
    """A library laid out before a change and with it."""

    before: Laid
    now: Laid


def bar_of(sides: Sides) -> Bar:
    """Give the acceptances that hold for a change, and what it lowers; of a library that is new all is taken as it says."""
    written = acceptances_in(sides.now.studies)
    if not sides.before.studies:
        return Bar(written)
    before = acceptances_in(sides.before.studies)
    holding = tuple(each for each in written if any(_covers(old, each) for old in before))
    added = (Lowered("accepted", each.at, each.rule, each.within) for each in written if each not in holding)
    return Bar(holding, (*_settings(sides), *added, *_drafts(sides)))


def _covers(old: Acceptance, new: Acceptance) -> bool:
    """Whether what is accepted now was accepted before, and for as long."""
    same = (old.rule, old.within) == (new.rule, new.within) and new.until <= old.until
    return same and old.subject in ("", new.subject) and old.step in ("", new.step)


def _settings(sides: Sides) -> Iterator[Lowered]:
    before, now = sides.before.bench.settings, sides.now.bench.settings
    at = _place_of_settings(sides)
    # Settings that cannot be read are a result by themselves.
    if at is None:
        return
    for rule in sides.now.bench.rules:
        old, new = (_level(each, rule.id, rule.level) for each in (before, now))
        if _RANKS[new] < _RANKS[old]:
            yield Lowered("level", at / "levels" / rule.id, rule.id, before=old or _OFF, now=new or _OFF)
    if _RANKS[now.failing_level] > _RANKS[before.failing_level]:
        yield Lowered("failing-level", at / "failing-level", "", before=before.failing_level, now=now.failing_level)


def _level(settings: Settings, rule: str, own: Level) -> Level | None:
    return settings.levels.get(rule, own)


def _place_of_settings(sides: Sides) -> Place | None:
    """Give the top of the settings, or the name of the file that held them; nothing where they cannot be read."""
    for study in sides.now.studies:
        if study.kind == "library":
            return study.at if study.is_sound else None
    return next((Place.of_file(study.file) for study in sides.before.studies if study.kind == "library"), None)


def _drafts(sides: Sides) -> Iterator[Lowered]:
    """Give what was no draft and calls itself one now: a draft is held to less."""
    finished = {flow.id for study, flow in _flows(sides.before.studies) if not study.is_draft}
    for study, flow in _flows(sides.now.studies):
        if study.is_draft and flow.id in finished:
            yield Lowered("draft", study.at / "stage", flow.id, flow.id)


def _flows(studies: Iterable[FileStudy]) -> Iterator[tuple[FileStudy, Flow]]:
    return ((study, study.flow) for study in studies if study.flow is not None)
