"""How a file and a place in it are named by whoever accepts a result, and from one version to the next."""

from typing import TypeAlias

from proclint.analysis.facts.register import source_of
from proclint.analysis.file_study import FileStudy
from proclint.catalogue import Catalogue
from proclint.source import Place

Path: TypeAlias = tuple[str | int, ...]


def owner_of(study: FileStudy) -> str:
    """Give the id of a procedure, block or source; nothing for one that cannot be read; of other files what they are."""
    if study.flow is not None:
        return study.flow.id
    if study.table is not None:
        return source_of(study.file)
    return study.kind if study.kind in ("library", "sources", "accepted") else ""


def path_of(at: Place, study: FileStudy | None, catalogue: Catalogue) -> Path:
    """Give the path to a place; in a table the cells that say of which vehicles a row speaks stand for its number."""
    table = study.table if study is not None else None
    if table is None or not at.path or not isinstance(at.path[0], int):
        return at.path
    narrows = {name for name, each in catalogue.attributes.items() if each.narrows}
    cells = zip(table.header, table.texts[at.path[0]], strict=True)
    return (*(text for cell, text in cells if text and cell.text in narrows), *at.path[1:])
