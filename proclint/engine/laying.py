"""Files read, and what each of them is checked against laid out."""

from collections.abc import Callable, Iterable
from typing import NamedTuple, TypeAlias

from proclint.analysis import Limits, Shelf
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import FileStudy, study_file
from proclint.catalogue import Catalogue
from proclint.engine.inputs import Input
from proclint.engine.own_words import with_own_words
from proclint.model import Block
from proclint.rule import Rule
from proclint.settings import Settings, read_settings

Reader: TypeAlias = Callable[[Input, Catalogue], FileStudy]


class Bench(NamedTuple):
    """What every file is checked against."""

    shelf: Shelf
    rules: tuple[Rule, ...]
    settings: Settings
    on: str
    limits: Limits = Limits()


class Laid(NamedTuple):
    """The files of a check as read, the names of those whose results are asked for, and what each is checked against."""

    studies: tuple[FileStudy, ...]
    shown: frozenset[str]
    bench: Bench

    @property
    def by_name(self) -> dict[str, FileStudy]:
        """The files by their names."""
        return {study.file: study for study in self.studies}


def reader(on: str, progress: Callable[[str], None]) -> Reader:
    """Give what reads a file as on a day."""

    def read(each: Input, catalogue: Catalogue) -> FileStudy:
        study = study_file(each.name, each.content, each.kind, catalogue, on=on)
        progress(each.name)
        return study

    return read


def lay_out(given: tuple[Input, ...], catalogue: Catalogue, rules: tuple[Rule, ...], *, on: str, read: Reader) -> Laid:
    """Read files, and lay out what each of them is checked against."""
    catalogue = with_own_words(given, catalogue, on)
    studies = tuple(read(each, catalogue) for each in given)
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    broken = frozenset(study.block for study in studies if study.flow is None and study.block)
    tables = [study.table for study in studies if study.table is not None]
    shelf = Shelf(blocks, catalogue, broken, facts_in(tables, catalogue.attributes))
    settings = settings_of(studies, frozenset(rule.id for rule in rules))
    return Laid(studies, frozenset(each.name for each in given if not each.is_context), Bench(shelf, rules, settings, on))


def settings_of(studies: Iterable[FileStudy], known: frozenset[str] | None = None) -> Settings:
    """Give what the library's own settings say; where no rules are known, of which rules they speak is not asked."""
    for study in studies:
        if study.kind == "library" and study.is_sound and study.document is not None:
            return read_settings(study.document, known)
    return Settings()
