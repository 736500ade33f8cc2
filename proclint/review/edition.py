"""A library, or some files of it, at one time: its files as read, and the shelf of its blocks."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import FileStudy, study_file
from proclint.catalogue import Catalogue
from proclint.engine import Input
from proclint.engine.own_words import with_own_words
from proclint.model import Block, Flow


@dataclass(frozen=True)
class Edition:
    """The files of a library at one time, read by the words that it has then, as on a day (ISO 8601)."""

    inputs: tuple[Input, ...]
    studies: tuple[FileStudy, ...]
    catalogue: Catalogue
    on: str

    @classmethod
    def of(cls, inputs: Iterable[Input], catalogue: Catalogue, on: str) -> "Edition":
        """Read files. Raises UsageProblem where the library adds a word that clashes."""
        given = tuple(inputs)
        own = with_own_words(given, catalogue, on)
        studies = tuple(study_file(each.name, each.content, each.kind, own, on=on) for each in given)
        return cls(given, studies, own, on)

    @cached_property
    def flows(self) -> tuple[Flow, ...]:
        """The procedures and blocks that could be read."""
        return tuple(study.flow for study in self.studies if study.flow is not None)

    @cached_property
    def shelf(self) -> Shelf:
        """The blocks that files may follow, and what tables say."""
        blocks = {flow.id: flow for flow in self.flows if isinstance(flow, Block)}
        broken = frozenset(study.block for study in self.studies if study.flow is None and study.block)
        tables = [study.table for study in self.studies if study.table is not None]
        return Shelf(blocks, self.catalogue, broken, facts_in(tables, self.catalogue.attributes))

    def study(self, flow: Flow) -> Study:
        """Give what the analyses know of a flow."""
        return Study(flow, self.shelf, self.on, Limits())

    def file(self, name: str) -> FileStudy | None:
        """Give a file by its name."""
        return next((study for study in self.studies if study.file == name), None)
