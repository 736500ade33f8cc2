"""The words of the trade that a library adds in its `library.yaml`."""

from collections.abc import Iterable
from typing import cast

from proclint.analysis.file_study import study_file
from proclint.catalogue import Catalogue, CatalogueProblem, Tree, extended
from proclint.engine.inputs import Input
from proclint.model import fields
from proclint.settings import UsageProblem
from proclint.source import plain


def with_own_words(inputs: Iterable[Input], catalogue: Catalogue, on: str) -> Catalogue:
    """Give the catalogue with the library's own words. Raises UsageProblem where they clash with the standard ones."""
    for each in inputs:
        if each.kind != "library":
            continue
        study = study_file(each.name, each.content, each.kind, catalogue, on=on)
        words = fields.field(study.at.node, "vocabulary")
        if study.is_sound and words is not None:
            return _extended(catalogue, cast("dict[str, Tree]", plain(words)), each.name)
    return catalogue


def _extended(catalogue: Catalogue, extra: dict[str, Tree], file: str) -> Catalogue:
    try:
        return extended(catalogue, extra, origin=file)
    except CatalogueProblem as problem:
        said = f"{problem.file}: vocabulary: {problem.key.removeprefix('vocabulary.')}: {problem.message}"
        raise UsageProblem(said, "Give the word another name, or correct what it says.") from problem
