"""From files' bytes to a procedure that can be walked. Pure: the day is an argument."""

from collections.abc import Iterable

from proclint.analysis import Limits, Shelf, Study
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import FileStudy, study_file
from proclint.analysis.states.rehearsal import Rehearsal
from proclint.catalogue import Catalogue
from proclint.engine.inputs import Input
from proclint.engine.own_words import with_own_words
from proclint.model import Block, Procedure
from proclint.settings import UsageProblem


def rehearse(inputs: Iterable[Input], file: str, catalogue: Catalogue, *, on: str) -> Rehearsal:
    """Lay out the procedure in a file, the others being its library.

    Raises UsageProblem where the file holds none, or one of such a form that nobody can walk it.
    """
    given = tuple(inputs)
    words = with_own_words(given, catalogue, on)
    studies = [study_file(each.name, each.content, each.kind, words, on=on) for each in given]
    study = next(each for each in studies if each.file == file)
    flow = _procedure(study)
    blocks = {each.flow.id: each.flow for each in studies if isinstance(each.flow, Block)}
    tables = [each.table for each in studies if each.table is not None]
    shelf = Shelf(blocks, words, facts_of=facts_in(tables, words.attributes))
    if Study(flow, shelf, on, Limits()).outline is None:
        raise _broken(file, "it follows a block that cannot be read, is missing, or follows itself")
    return Rehearsal(flow, shelf)


def _procedure(study: FileStudy) -> Procedure:
    if isinstance(study.flow, Procedure) and study.is_sound:
        return study.flow
    if study.kind == "block":
        raise UsageProblem(f"{study.file} is a block.", "Name a procedure that follows it.")
    if study.kind not in ("procedure", "steps"):
        raise UsageProblem(f"{study.file} is no procedure.", "Name a file with the steps of one.")
    raise _broken(study.file, "something is wrong with its form")


def _broken(file: str, why: str) -> UsageProblem:
    said = f"{file} cannot be walked: {why}."
    return UsageProblem(said, f"Run `proclint examine {file}` and mend what it shows first.")
