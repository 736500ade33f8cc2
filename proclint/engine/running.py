"""Rules run on one file or on all of them: results with their level, owner and fingerprint, and faults of our own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from proclint.analysis.file_study import FileStudy
from proclint.engine.fingerprint import fingerprint
from proclint.engine.laying import Bench
from proclint.engine.naming import owner_of, path_of
from proclint.engine.report import OwnFault, Reported
from proclint.results import Result
from proclint.rule import Rule
from proclint.settings import UsageProblem
from proclint.source import Place


@dataclass(slots=True)
class Run:
    """Runs rules on one file, `study`, or on the library where there is none; `studies` are all files by name."""

    bench: Bench
    study: FileStudy | None = None
    studies: Mapping[str, FileStudy] = field(default_factory=dict)
    results: list[Reported] = field(default_factory=list)
    own_faults: list[OwnFault] = field(default_factory=list)

    def rules(self, rules: Iterable[Rule], *given: object) -> None:
        """Run those of some rules that are not turned off."""
        levels = self.bench.settings.levels
        for rule in rules:
            if rule.id not in levels or levels[rule.id] is not None:
                self._rule(rule, given)

    def _rule(self, rule: Rule, given: tuple[object, ...]) -> None:
        try:
            for result in rule.check(*given):
                self.results.append(self._reported(rule, result))
        except UsageProblem:
            raise
        except Exception as error:  # noqa: BLE001
            # Loaded where something broke down.
            import traceback

            last = traceback.extract_tb(error.__traceback__)[-1]
            said = f"{type(error).__name__}: {error} ({last.name}, line {last.lineno})"
            self.own_faults.append(OwnFault(rule.id, self.study.file if self.study else "", said))

    def _reported(self, rule: Rule, result: Result) -> Reported:
        study = self.study or self.studies.get(result.at.file)
        level = self.bench.settings.levels.get(rule.id) or result.level or rule.level
        owner = owner_of(study) if study is not None else ""
        root = study.document.root if study is not None and study.document is not None else None
        at = Place(result.at.file, path_of(result.at, study, self.bench.shelf.catalogue), None, (0, 0))
        return Reported(rule, level, result, fingerprint(rule.id, result.subject, owner, at, root), owner)
