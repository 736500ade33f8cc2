"""The head of an account: what the file is, for which vehicles, who wrote and who reviewed it, and what it rests on."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proclint.analysis.facts.space import Space
from proclint.analysis.file_study import FileStudy
from proclint.catalogue import Catalogue
from proclint.compare import is_reviewed
from proclint.model import Block, Procedure, Signed, fields


class Source(NamedTuple):
    """A source as the register has it, kind and date empty where it is not there; `rank` is 1 for what is trusted most."""

    id: str
    kind: str
    title: str
    date: str
    rank: int | None


class Head(NamedTuple):
    """What a file says of itself. `was` is the version before, 0 where there was none or nothing was compared.

    `review_fits` says whether the review saw this text, nothing where it names none.
    """

    title: str
    id: str
    version: int
    was: int
    task: str = ""
    stage: str = ""
    takes: str = ""
    vehicles: tuple[str, ...] = ()
    written: Signed | None = None
    reviewed: Signed | None = None
    review_fits: bool | None = None
    sources: tuple[Source, ...] = ()


def head_of(study: FileStudy, old: FileStudy | None, files: Iterable[FileStudy], catalogue: Catalogue) -> Head:
    """Give the head of a file; of one that cannot be read it is its name."""
    flow = study.flow
    was = old.flow.version if old is not None and old.flow is not None else 0
    if isinstance(flow, Block):
        return Head(flow.title, flow.id, flow.version, was)
    if not isinstance(flow, Procedure):
        root = study.document.root if study.document is not None else None
        return Head(fields.text_of(root, "title") or study.file, fields.text_of(root, "id"), 0, was)
    return Head(
        title=flow.title,
        id=flow.id,
        version=flow.version,
        was=was,
        task=flow.task,
        stage=flow.stage,
        takes=fields.text_of(study.at.node, "takes"),
        vehicles=tuple(_vehicles(flow, catalogue)),
        written=flow.written,
        reviewed=flow.reviewed,
        review_fits=is_reviewed(study),
        sources=tuple(_sources(flow, tuple(files))),
    )


def _vehicles(procedure: Procedure, catalogue: Catalogue) -> Iterator[str]:
    space = Space(catalogue.attributes)
    for each in procedure.vehicles:
        box = space.box_of(each)
        if isinstance(box, tuple):
            said = space.words(box)
            first = " ".join(said.pop(name, "") for name in ("make", "model", "years"))
            yield "; ".join((first, *(f"{name} {text}" for name, text in said.items())))


def _sources(procedure: Procedure, files: tuple[FileStudy, ...]) -> Iterator[Source]:
    known, trust = _register(files), _trust(files)
    for word in procedure.sources:
        kind, title, date = known.get(word.text, ("", "", ""))
        yield Source(word.text, kind, title, date, trust.index(kind) + 1 if kind in trust else None)


def _register(files: Iterable[FileStudy]) -> dict[str, tuple[str, str, str]]:
    documents = [study.document for study in files if study.kind == "sources" and study.document is not None]
    places = [place for document in documents for place in (document.at / "sources").items()]
    return {
        fields.text_of(place.node, "id"): (
            fields.text_of(place.node, "kind"),
            fields.text_of(place.node, "title"),
            fields.text_of(place.node, "date"),
        )
        for place in places
    }


def _trust(files: Iterable[FileStudy]) -> tuple[str, ...]:
    documents = [study.document for study in files if study.kind == "library" and study.document is not None]
    return tuple(text for document in documents for text in fields.texts_of(fields.field(document.root, "trust")))
