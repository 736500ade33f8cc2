"""The head, the difference in meaning, the neighbours and what was not checked."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from proclint.analysis.account.neighbours import Neighbour, Neighbours
from proclint.compare import Difference, FileChange, in_order
from proclint.render.review.leaf import Items, Part, Prose, Section
from proclint.render.review.words import of_names, of_signed
from proclint.review import Head, Source
from proclint.telling import counted

_FEW = 3
NO_CHANGE = "No change in meaning."


def facts_of(head: Head) -> Iterator[tuple[str, str]]:
    """Give the head of an account by label."""
    if head.id:
        yield "id", head.id
    if head.version:
        yield "version", f"{head.was} to {head.version}" if head.was not in (0, head.version) else str(head.version)
    if head.task:
        yield "task", f"{head.task}; {head.stage}"
    for vehicles in head.vehicles:
        yield "vehicles", vehicles
    if head.takes:
        yield "said to take", head.takes
    if head.task:
        yield "written by", of_signed(head.written)
        yield "reviewed by", of_signed(head.reviewed) + _fit(head.review_fits)
    for source in head.sources:
        yield "source", _source(source)


def _fit(fits: bool | None) -> str:  # noqa: FBT001 - three-valued, and said here
    return {None: "", True: "; saw this text", False: "; saw another text"}[fits]


def _source(source: Source) -> str:
    if not source.kind:
        return f"{source.id}, not in the register"
    rank = f", rank {source.rank}" if source.rank is not None else ""
    return f"{source.title} ({source.id}; {source.kind}{rank}; {source.date})"


def section_of_changes(change: FileChange | None) -> Section | None:
    """Give what differs in meaning; nothing where nothing was compared."""
    if change is None:
        return None
    parts = list(parts_of(change.differences))
    if change.not_compared:
        parts.append(Prose(f"Not compared: {change.not_compared}."))
    elif not parts:
        parts.append(Prose(NO_CHANGE))
    parts += _reached(change)
    in_short = "not compared" if change.not_compared else counted(len(change.differences), "difference", "differences")
    return Section("Difference in meaning", in_short, tuple(parts))


def _reached(change: FileChange) -> Iterator[Part]:
    if change.reaches:
        yield Prose(f"Procedures that follow it: {', '.join(change.reaches)}.")


def parts_of(differences: Iterable[Difference]) -> Iterator[Part]:
    """Give differences by weight, the most dangerous first."""
    for weight, same in groupby(in_order(differences), key=lambda each: each.weight):
        yield Prose(f"{weight.value[0].upper()}{weight.value[1:]}:")
        yield Items(tuple(each.said for each in same))


def section_of_others(changes: Iterable[FileChange]) -> Section | None:
    """Give what differs in files without an account of their own."""
    changes = tuple(changes)
    differing = [each for each in changes if each.is_of_itself]
    parts: list[Part] = []
    for each in differing:
        parts.append(Prose(f"{each.new or each.old}:"))
        parts += (*parts_of(each.differences), *_reached(each))
        if each.not_compared:
            parts.append(Prose(f"Not compared: {each.not_compared}."))
    reviewed = [f"{each.new}: {said.said}" for each in changes if not each.is_of_itself for said in each.differences]
    if reviewed:
        parts += [Prose("They do not differ, but a block does that they follow:"), Items(tuple(reviewed))]
    return Section("Other files", counted(len(differing), "file differs", "files differ"), tuple(parts)) if parts else None


def section_of_neighbours(neighbours: Neighbours) -> Section:
    """Give who else speaks of these vehicles, shares these blocks, and where tables differ."""
    parts: list[Part] = []
    if neighbours.procedures:
        parts += [Prose("For vehicles of this one too:"), Items(tuple(map(_neighbour, neighbours.procedures)))]
    if neighbours.contested:
        told = tuple(f"{each.attribute.name}: {' or '.join(each.texts)}" for each in neighbours.contested)
        parts += [Prose("Where sources contradict each other for these vehicles, what is believed first:"), Items(told)]
    if neighbours.sharing:
        shared = tuple(f"{each.block}: {_users(each.procedures)}" for each in neighbours.sharing)
        parts += [Prose("Blocks, and who else follows them:"), Items(shared)]
    others = counted(len(neighbours.procedures), "other procedure", "other procedures")
    return Section("Neighbours", f"{others} for the same vehicles", tuple(parts) or (Prose("None."),))


def _users(ids: tuple[str, ...]) -> str:
    return of_names(ids, none="no other procedure") if len(ids) <= _FEW else f"{len(ids)} other procedures"


def _neighbour(each: Neighbour) -> str:
    caps = "".join(f"; slots for a {kind}: {ours} here, {theirs} there" for kind, ours, theirs in each.other_caps)
    return f"{each.procedure.id} ({each.procedure.task}): {' and '.join(each.vehicles)}{caps}"


def section_of_unchecked(said: tuple[str, ...]) -> Section:
    """Give what was not checked; never nothing, as no check knows the vehicle."""
    last = "Whether the vehicle does what the file says: that is for a person at a vehicle."
    return Section("What was not checked", counted(len(said) + 1, "thing", "things"), (Items((*said, last)),))
