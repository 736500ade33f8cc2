"""Two versions of a library examined: what did not change, nor anything that it rests on, is examined once."""

from collections.abc import Callable
from typing import NamedTuple

from proclint.analysis import Shelf
from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import uses_of
from proclint.catalogue import Catalogue
from proclint.engine.bar import Sides, bar_of
from proclint.engine.baseline import compared
from proclint.engine.examine import Examination, examine_library, examined
from proclint.engine.inputs import Input
from proclint.engine.laying import Laid, lay_out, reader
from proclint.engine.report import Report
from proclint.model import Flow
from proclint.rule import Rule
from proclint.settings import UsageProblem


class Versions(NamedTuple):
    """The files of a change as they are now and as they were before, and what that earlier version is called."""

    now: tuple[Input, ...]
    before: tuple[Input, ...]
    revision: str


def examine_since(
    versions: Versions,
    catalogue: Catalogue,
    rules: tuple[Rule, ...],
    *,
    on: str,
    progress: Callable[[str], None] = lambda _: None,
) -> Report:
    """Check files by the bar of an earlier version, and say how each result stands to those of that version.

    Raises UsageProblem for settings of either version that name a rule that does not exist or add a word that clashes.
    """
    now = lay_out(versions.now, catalogue, rules, on=on, read=reader(on, progress))
    before = _laid_before(versions, catalogue, now, on=on)
    now_held = _held(now, before) if before.studies else now
    found = {}
    for study in now_held.studies:
        found[id(study)] = examined(study, now_held)
        progress(study.file)
    again = _Again(found, now_held, before)
    bar = bar_of(Sides(before, now))
    old = examine_library(before, [again.examined(study) for study in before.studies])
    return compared(examine_library(now_held, found.values(), bar), old, versions.revision)


def _held(now: Laid, before: Laid) -> Laid:
    """Give the version now under the levels of that before: what is lowered counts from the next change on."""
    old = before.bench.settings
    settings = now.bench.settings._replace(levels=old.levels, failing_level=old.failing_level)
    return now._replace(bench=now.bench._replace(settings=settings))


def _laid_before(versions: Versions, catalogue: Catalogue, now: Laid, *, on: str) -> Laid:
    known = dict(zip(versions.now, now.studies, strict=True))
    fresh = reader(on, lambda _: None)

    def read(each: Input, words: Catalogue) -> FileStudy:
        return known[each] if each in known and words == now.bench.shelf.catalogue else fresh(each, words)

    try:
        return lay_out(versions.before, catalogue, now.bench.rules, on=on, read=read)
    except UsageProblem as problem:
        raise UsageProblem(f"As at {versions.revision}: {problem.what}", problem.change) from problem


class _Again:
    """Takes over what was found in the version now where it cannot differ from that before."""

    def __init__(self, found: dict[int, Examination], now: Laid, before: Laid) -> None:
        self.found = found
        self.now = now
        self.before = before
        self.has_same_names = self._names(now.bench.shelf) == self._names(before.bench.shelf)

    def examined(self, study: FileStudy) -> Examination:
        """Give what the check of a file before gives."""
        is_asked = (study.file in self.now.shown) == (study.file in self.before.shown)
        if id(study) in self.found and is_asked and (study.flow is None or self._rests_on_same(study.flow)):
            return self.found[id(study)]
        return examined(study, self.before)

    def _rests_on_same(self, flow: Flow) -> bool:
        """Whether a file rests on the same blocks and facts in both versions."""
        shelves = self.now.bench.shelf, self.before.bench.shelf
        seen, waiting = set(), [flow]
        for each in waiting:
            for use in uses_of(each):
                now, before = (shelf.blocks.get(use.block) for shelf in shelves)
                # Where one is missing, the nearest name is looked for among all.
                if now is not before or (now is None and not self.has_same_names):
                    return False
                if now is not None and use.block not in seen:
                    seen.add(use.block)
                    waiting.append(now)
        return shelves[0].facts_of(flow) == shelves[1].facts_of(flow)

    @staticmethod
    def _names(shelf: Shelf) -> tuple[frozenset[str], frozenset[tuple[str, int]]]:
        return shelf.broken, frozenset((name, block.version) for name, block in shelf.blocks.items())
