"""A library, or some files of it, at one time: its files as read, and the shelf of its blocks."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.file_study import FileStudy
from proclint.catalogue import Catalogue, standard
from proclint.engine import Input
from proclint.engine.laying import Laid, lay_out, reader
from proclint.engine.whole import evidence_of
from proclint.model import Flow
from proclint.rule import Rule


@dataclass(frozen=True)
class Edition:
    """The files of a library at one time, laid out by the words and settings that it has then, as on a day (ISO 8601)."""

    inputs: tuple[Input, ...]
    laid: Laid

    @classmethod
    def of(cls, inputs: Iterable[Input], rules: tuple[Rule, ...], on: str) -> "Edition":
        """Read files. Raises UsageProblem where the library's settings cannot be meant."""
        given = tuple(inputs)
        return cls(given, lay_out(given, standard(), rules, on=on, read=reader(on, lambda _: None)))

    @property
    def studies(self) -> tuple[FileStudy, ...]:
        """Its files as read."""
        return self.laid.studies

    @property
    def on(self) -> str:
        """The day of the check."""
        return self.laid.bench.on

    @property
    def shelf(self) -> Shelf:
        """The blocks that files may follow, and what tables say."""
        return self.laid.bench.shelf

    @property
    def catalogue(self) -> Catalogue:
        """The words of the trade, and the library's own."""
        return self.shelf.catalogue

    @cached_property
    def flows(self) -> tuple[Flow, ...]:
        """The procedures and blocks that could be read."""
        return tuple(study.flow for study in self.studies if study.flow is not None)

    @cached_property
    def evidence(self) -> Evidence:
        """What its tables and register say together."""
        return evidence_of(self.studies, self.laid.bench)

    def study(self, flow: Flow) -> Study:
        """Give what the analyses know of a flow."""
        return Study(flow, self.shelf, self.on, Limits())

    def file(self, name: str) -> FileStudy | None:
        """Give a file by its name."""
        return next((study for study in self.studies if study.file == name), None)
