"""Two versions of a library: which files are which, what differs in each, and whom it reaches."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from proclint.analysis import Shelf
from proclint.analysis.file_study import FileStudy
from proclint.analysis.library import extract_of, reached_by
from proclint.catalogue import Catalogue
from proclint.compare.align import said_of_step
from proclint.compare.difference import Difference, Weight, What, in_order
from proclint.compare.flows import FlowComparison, Version, compare_flows
from proclint.compare.head import is_same_review
from proclint.compare.matching import Match, matched
from proclint.compare.pair import Places
from proclint.compare.registers import compare_acceptances, compare_settings, compare_sources
from proclint.compare.tables import compare_tables
from proclint.compare.vehicles import vehicles_of
from proclint.model import Block, Procedure, digest, fields
from proclint.source import Document, Place

_REGISTERS = {"library": compare_settings, "sources": compare_sources, "accepted": compare_acceptances}


class FileChange(NamedTuple):
    """What differs between two versions of a file.

    `kind` is `procedure`, `block`, `facts`, `library`, `sources` or `accepted`, `id` what the file is called by others; `old` and
    `new` are its file names, empty where it is not there. `reaches` names the procedures that follow a block that differs.
    `not_compared` says what could not be compared, and why; empty = all was.
    """

    kind: str
    id: str
    old: str
    new: str
    differences: tuple[Difference, ...]
    reaches: tuple[str, ...] = ()
    not_compared: str = ""

    @property
    def is_of_itself(self) -> bool:
        """Whether the file itself differs, and not only a block that its review saw."""
        return bool(self.not_compared) or any(each.what is not What.BLOCK_CHANGED_SINCE_REVIEW for each in self.differences)


class Comparison(NamedTuple):
    """The files that differ in meaning, by name; none where nothing does."""

    changes: tuple[FileChange, ...]

    @property
    def differences(self) -> tuple[Difference, ...]:
        """All differences of all files, the most dangerous first."""
        return in_order(each for change in self.changes for each in change.differences)


def compare_libraries(old: Iterable[FileStudy], new: Iterable[FileStudy], catalogue: Catalogue) -> Comparison:
    """Compare two versions of a library, or of any files of it together with the blocks that they follow."""
    files = tuple(old), tuple(new)
    known = [{study.file: _key(study) for study in each if _key(study)} for each in files]
    sides = _Side.of(files[0], catalogue, known[1]), _Side.of(files[1], catalogue, known[0])
    match = matched(sides[0].said, sides[1].said)
    changes = [_change(sides, one, other) for one, other in match.pairs]
    changes += [_alone(sides[0].files[key], catalogue, is_gone=True) for key in match.removed]
    changes += [_alone(sides[1].files[key], catalogue, is_gone=False) for key in match.added]
    changes = _with_blocks(changes, sides, match)
    telling = (each for each in changes if each.differences or each.not_compared)
    return Comparison(tuple(sorted(telling, key=lambda each: (each.new or each.old, each.kind, each.id))))


@dataclass(frozen=True)
class _Side:
    """The files of one version by what they are called, and the shelf of its blocks."""

    files: Mapping[str, FileStudy]
    shelf: Shelf

    @classmethod
    def of(cls, studies: Iterable[FileStudy], catalogue: Catalogue, known: Mapping[str, str]) -> "_Side":
        """Take the files of a version; `known` says what a file is called that does not say so itself."""
        files: dict[str, FileStudy] = {}
        keys = [(_key(study) or known.get(study.file, f"{study.kind} {study.file}"), study) for study in studies]
        # Of two files that bear one id the one that bears it in the other version keeps it.
        for key, study in sorted(keys, key=lambda each: known.get(each[1].file) != each[0]):
            files[key if key not in files else f"{key} {study.file}"] = study
        blocks = {each.flow.id: each.flow for each in files.values() if isinstance(each.flow, Block)}
        broken = frozenset(each.block for each in files.values() if each.flow is None and each.block)
        return cls(files, Shelf(blocks, catalogue, broken))

    @property
    def said(self) -> dict[str, Counter[str]]:
        """What the steps of each file say, for files whose id was changed."""
        return {key: _said(study) for key, study in self.files.items()}

    def reach(self) -> Mapping[str, tuple[str, ...]]:
        """Give the procedures that follow each block."""
        return reached_by([extract_of(each.flow) for each in self.files.values() if each.flow is not None])


def _key(study: FileStudy) -> str:
    """Say what a file is called whatever its name: nothing where it cannot be read so far."""
    if study.kind in _REGISTERS:
        return study.kind
    if study.kind == "facts":
        return f"facts {_id(study)}"
    return f"{study.kind} {_id(study)}" if _id(study) else ""


def _id(study: FileStudy) -> str:
    """Give the id of a procedure or block, the name of a table's file, which is that of its source, and nothing else."""
    if study.kind == "facts":
        return study.file.rpartition("/")[2]
    root = study.document.root if study.document is not None else None
    return fields.text_of(root, "id") or fields.text_of(root, "block")


def _said(study: FileStudy) -> Counter[str]:
    said: Iterator[str] = iter(())
    if study.flow is not None:
        said = (f"{step.name} {each}" for step in study.flow.steps.values() for each in said_of_step(step))
    elif study.table is not None:
        said = (
            f"{name.text} {cell.text}" for row in study.table.rows for name, cell in zip(study.table.header, row, strict=True)
        )
    # What is of two kinds has nothing in common.
    return Counter(f"{study.kind} {each}" for each in said)


def _change(sides: tuple[_Side, _Side], old_key: str, new_key: str) -> FileChange:
    old, new = sides[0].files[old_key], sides[1].files[new_key]
    not_compared = _not_compared(old, new)
    found = FlowComparison((), not_compared)
    if not not_compared and old.text.text != new.text.text:
        found = _compared(Version(old, sides[0].shelf), Version(new, sides[1].shelf))
    differences = in_order((*found.differences, *_called(old, new)))
    return FileChange(new.kind, _id(new), old.file, new.file, differences, not_compared=found.not_compared)


def _called(old: FileStudy, new: FileStudy) -> Iterator[Difference]:
    if old.file != new.file:
        yield Difference(What.RENAMED, Weight.UPKEEP, old.at, new.at, f"The file '{old.file}' is now '{new.file}'.")


def _not_compared(old: FileStudy, new: FileStudy) -> str:
    """Say what keeps two versions from being compared; nothing where both can be read or no byte differs."""
    if old.text.text == new.text.text:
        return ""
    unread = [name for name, each in (("old", old), ("new", new)) if not _is_readable(each)]
    return f"the {' and the '.join(unread)} version cannot be read" if unread else ""


def _is_readable(study: FileStudy) -> bool:
    if study.kind in ("procedure", "block"):
        return study.flow is not None and study.is_sound
    # A table may hold cells without a meaning; as texts they can be compared.
    return study.is_sound if study.kind in _REGISTERS else not study.troubles


def _compared(old: Version, new: Version) -> FlowComparison:
    files = old.file, new.file
    if files[0].table is not None and files[1].table is not None:
        return FlowComparison(compare_tables(files[0].table, files[1].table, new.shelf.catalogue))
    documents = _documents(*files)
    if new.file.kind in _REGISTERS and documents is not None:
        return FlowComparison(_REGISTERS[new.file.kind](*documents))
    return compare_flows(old, new)


def _documents(old: FileStudy, new: FileStudy) -> tuple[Document, Document] | None:
    if old.document is None or new.document is None:
        return None
    return old.document, new.document


def _alone(study: FileStudy, catalogue: Catalogue, *, is_gone: bool) -> FileChange:
    at: Places = (study.at, None) if is_gone else (None, study.at)
    text = f"The {_said_kind(study)} '{_id(study) or study.file}' is {'gone' if is_gone else 'new'}{_job(study, catalogue)}."
    found = Difference(What.FILE, _weight_alone(study, is_gone=is_gone), *at, text)
    names = (study.file, "") if is_gone else ("", study.file)
    return FileChange(study.kind, _id(study), *names, in_order((found, *_held(study, catalogue, is_gone=is_gone))))


def _job(study: FileStudy, catalogue: Catalogue) -> str:
    """Say what a procedure is for, and for which vehicles."""
    if not isinstance(study.flow, Procedure) or not study.is_sound:
        return ""
    vehicles = vehicles_of(study.flow, catalogue)
    return f": {study.flow.task}{f' for {vehicles}' if vehicles else ''}"


def _held(study: FileStudy, catalogue: Catalogue, *, is_gone: bool) -> Iterator[Difference]:
    """Tell all that a register or table says that is new or gone: it is held against one that says nothing."""
    found: tuple[Difference, ...] = ()
    if study.table is not None and _is_readable(study):
        sides = study.table, replace(study.table, texts=(), starts=())
        found = compare_tables(*(sides if is_gone else sides[::-1]), catalogue)
    elif study.kind in _REGISTERS and study.document is not None and _is_readable(study):
        documents = study.document, study.document._replace(root=None)
        found = _REGISTERS[study.kind](*(documents if is_gone else documents[::-1]))
    for each in found:
        yield each._replace(at_new=None) if is_gone else each._replace(at_old=None)


def _said_kind(study: FileStudy) -> str:
    return {
        "facts": "facts table",
        "library": "settings file",
        "sources": "register",
        "accepted": "list of accepted results",
    }.get(study.kind, study.kind)


def _weight_alone(study: FileStudy, *, is_gone: bool) -> Weight:
    # A procedure lets something be done, facts guard against it; what is accepted guards no more.
    weight = {"procedure": Weight.LESS, "facts": Weight.LOST, "sources": Weight.LOST, "accepted": Weight.GAINED}
    found = weight.get(study.kind, Weight.OTHER)
    return found if is_gone else found.mirrored


def _with_blocks(changes: list[FileChange], sides: tuple[_Side, _Side], match: Match) -> list[FileChange]:
    """Give the changes with whom a changed block reaches, and with the reviews that saw another block."""
    reaches = [side.reach() for side in sides]
    changed = {each.id for each in changes if each.kind == "block" and each.differences}
    blocks = {name: at for name in sorted(changed) if (at := _of_one_version(name, sides)) is not None}
    pairs = {sides[1].files[new].file: (sides[0].files[old], sides[1].files[new]) for old, new in match.pairs}
    found = []
    for each in changes:
        if each.kind == "block":
            ids = {*reaches[0].get(each.id, ()), *reaches[1].get(each.id, ())}
            found.append(each._replace(reaches=tuple(sorted(ids)) if each.differences else ()))
        else:
            reached = {name: at for name, at in blocks.items() if each.id in reaches[1].get(name, ())}
            reviews = _reviews(*pairs[each.new], reached) if each.old and each.new else ()
            found.append(each._replace(differences=in_order((*each.differences, *reviews))))
    return found


def _of_one_version(name: str, sides: tuple[_Side, _Side]) -> tuple[Place, Place] | None:
    """Give where a block stands that says something else and bears the same version."""
    old, new = (side.shelf.blocks.get(name) for side in sides)
    return (old.at, new.at) if old is not None and new is not None and old.version == new.version else None


def _reviews(old: FileStudy, new: FileStudy, blocks: Mapping[str, tuple[Place, Place]]) -> Iterator[Difference]:
    before, now = old.flow, new.flow
    if isinstance(before, Procedure) and isinstance(now, Procedure) and now.reviewed is not None and is_same_review(before, now):
        for name, at in blocks.items():
            text = f"The review by {now.reviewed.by} of {now.reviewed.date} saw another text of the block '{name}'."
            yield Difference(What.BLOCK_CHANGED_SINCE_REVIEW, Weight.UPKEEP, *at, text)


def is_reviewed(study: FileStudy) -> bool | None:
    """Say whether the review of a procedure saw what stands there now; nothing where no review names a text."""
    flow = study.flow
    if not isinstance(flow, Procedure) or flow.reviewed is None or not flow.reviewed.of:
        return None
    return flow.reviewed.of == digest(study.at.node)
