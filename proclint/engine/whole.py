"""All files of a library judged together: what is found among them, and what of that a person accepted."""

from collections.abc import Iterable
from typing import NamedTuple

from proclint.analysis.facts.against import boxes_of
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import Extract, LibraryStudy, Lowered
from proclint.engine.accepting import Sifted, acceptances_in, sift
from proclint.engine.fingerprint import distinct
from proclint.engine.laying import Bench, Laid
from proclint.engine.report import OwnFault
from proclint.engine.running import Run
from proclint.model import Acceptance, fields, kinds_of_source, read_sources
from proclint.rule import Scope


class Bar(NamedTuple):
    """What files are held to where it is not what they say themselves: the acceptances that are taken, and what is lowered."""

    acceptances: tuple[Acceptance, ...]
    lowered: tuple[Lowered, ...] = ()


class Judged(NamedTuple):
    """What the rules on a whole library find, each result by itself, and the rules that broke down."""

    sifted: Sifted
    own_faults: tuple[OwnFault, ...]


def library_study(laid: Laid, extracts: Iterable[Extract], bar: Bar) -> LibraryStudy:
    """Put together what is known of all files; which acceptances met nothing is not known yet."""
    bench, extracts = laid.bench, tuple(extracts)
    return LibraryStudy(
        extracts,
        _sources(laid.studies),
        acceptances_in(laid.studies),
        (),
        frozenset(rule.id for rule in bench.rules if rule.never_accepted),
        bench.on,
        _evidence(laid, extracts),
        bar.lowered,
    )


def _evidence(laid: Laid, extracts: Iterable[Extract]) -> Evidence:
    """Give what is known of all vehicles or, where only procedures are asked about, of the models that these are for."""
    found = evidence_of(laid.studies, laid.bench)
    if any(study.file in laid.shown and not study.has_steps for study in laid.studies):
        return found
    return found.about(tuple(box for each in extracts if each.job is not None for box in boxes_of(each.job, found.space)))


def judged(library: LibraryStudy, laid: Laid, acceptances: tuple[Acceptance, ...]) -> Judged:
    """Run the rules on all files, but for those that speak of what was accepted, and set apart what was."""
    run = _run(library, laid, is_last=False)
    return Judged(sift(distinct(run.results), acceptances, laid), tuple(run.own_faults))


def judged_last(library: LibraryStudy, laid: Laid) -> Judged:
    """Run the rules on all files that nobody may silence, as it is known what was accepted."""
    run = _run(library, laid, is_last=True)
    return Judged(Sifted(tuple(distinct(run.results)), (), frozenset()), tuple(run.own_faults))


def _run(library: LibraryStudy, laid: Laid, *, is_last: bool) -> Run:
    run = Run(laid.bench, studies=laid.by_name)
    run.rules((each for each in laid.bench.rules if each.scope is Scope.LIBRARY and each.never_accepted is is_last), library)
    return run


def _sources(studies: Iterable[FileStudy]) -> frozenset[str] | None:
    for study in studies:
        if study.kind == "sources" and study.document is not None:
            return frozenset(fields.text_of(place.node, "id") for place in (study.document.at / "sources").items())
    return None


def evidence_of(studies: Iterable[FileStudy], bench: Bench) -> Evidence:
    """Give what tables and the register say together, as far as they can be read."""
    given = tuple(studies)
    tables = tuple(study.table for study in given if study.table is not None)
    registers = (study.document for study in given if study.kind == "sources" and study.is_sound)
    entries = tuple(entry for document in registers if document is not None for entry in read_sources(document))
    return Evidence(tables, entries, bench.settings.trust or kinds_of_source(), bench.shelf.catalogue.attributes)
