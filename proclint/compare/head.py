"""The head of a procedure or block in two versions: the job, vehicles, keys, caps, start, and who vouches for it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from proclint.compare import said
from proclint.compare.difference import Difference, Weight, What, of_bound, of_presence
from proclint.compare.guards import DROPPING
from proclint.compare.pair import Pair
from proclint.compare.tree import of_tree
from proclint.compare.vehicles import of_vehicles
from proclint.model import Block, Flow, KeyGroup, Procedure, Word
from proclint.source import Place

# What is told of the file and not of the job.
_ABOUT = frozenset({What.VERSION, What.REVIEW})


class Tops(NamedTuple):
    """The tops of both files."""

    old: Place
    new: Place

    def places(self, name: str) -> tuple[Place, Place]:
        """Give the places of a field, or of what it is missing in."""
        return self.old / name, self.new / name

    def of_field(self, name: str, what: What, weight: Weight) -> Iterator[Difference]:
        """Tell how a field differs as it is written."""
        return of_tree(self.old / name, self.new / name, name.capitalize(), what=what, weight=weight)


def of_head(pair: Pair, tops: Tops) -> Iterator[Difference]:
    """Tell how the head of a procedure or block differs."""
    old, new = pair.old.flow, pair.new.flow
    yield from _called(old, new, tops)
    if old.title != new.title:
        yield Difference(What.TEXT, Weight.WORDS, *tops.places("title"), f"Title: '{new.title}', before '{old.title}'.")
    if isinstance(old, Procedure) and isinstance(new, Procedure):
        yield from _procedure(old, new, pair, tops)
    elif isinstance(old, Block) and isinstance(new, Block):
        yield from tops.of_field("given", What.KEYS, Weight.OTHER)
        yield from _states(old.before, new.before, "Before the block")


def _procedure(old: Procedure, new: Procedure, pair: Pair, tops: Tops) -> Iterator[Difference]:
    for name in ("format", "task", "method", "takes", "stage"):
        yield from tops.of_field(name, What.TIME if name == "takes" else What.JOB, Weight.OTHER)
    drops = [each.learning in DROPPING for each in (old, new)]
    weight = of_presence(is_guard=False, adds=drops[0] != drops[1], is_gone=drops[0])
    yield from tops.of_field("learning", What.JOB, weight)
    yield from of_vehicles(old, new, pair.catalogue, tops.places("vehicles"))
    yield from _caps(old.slots, new.slots)
    yield from _keys(old, new)
    yield from _states(old.start, new.start, "At the start")
    yield from _sources(old, new)
    yield from tops.of_field("written", What.REVIEW, Weight.UPKEEP)
    yield from tops.of_field("reviewed", What.REVIEW, Weight.UPKEEP)
    yield from _reviewed_with(old, new)


def _caps(old: Mapping[str, Word], new: Mapping[str, Word]) -> Iterator[Difference]:
    for kind in dict.fromkeys((*old, *new)):
        words = old.get(kind), new.get(kind)
        before, now = (int(word.text) if word is not None else None for word in words)
        if before != now:
            at = (words[0].at if words[0] is not None else None, words[1].at if words[1] is not None else None)
            shown = [str(each) if each is not None else "not stated" for each in (now, before)]
            text = f"Places for kind '{kind}': {shown[0]}, before {shown[1]}."
            yield Difference(What.CAP, of_bound(before, now), *at, text)


def _keys(old: Procedure, new: Procedure) -> Iterator[Difference]:
    for letter, group in old.keys.items():
        if letter in new.keys:
            yield from _group(group, new.keys[letter])
        else:
            yield Difference(What.KEYS, Weight.OTHER, group.at, None, f"The keys {letter} are gone.")
    for letter, group in new.keys.items():
        if letter not in old.keys:
            yield Difference(What.KEYS, Weight.OTHER, None, group.at, f"The keys {letter} are new: {_group_said(group)}.")


def _group_said(group: KeyGroup) -> str:
    known = "the vehicle knows them" if group.registered else "the vehicle does not know them"
    return f"of kind '{group.kind}', {said.span(group.here)} here, {known}"


def _group(old: KeyGroup, new: KeyGroup) -> Iterator[Difference]:
    for where, before, now in (("here", old.here, new.here), ("away", old.away, new.away)):
        if before != now:
            text = f"Keys {new.letter} {where}: {said.span(now)}, before {said.span(before)}."
            yield Difference(What.KEYS, _of_spans(before, now), old.at / where, new.at / where, text)
    fields = ("kind", "registered", "head", "chip", "frequency", "part", "cut", "one-time")
    for name in fields:
        yield from of_tree(old.at / name, new.at / name, f"Keys {new.letter}, {name}", what=What.KEYS)
    name = f"Keys {new.letter}, source"
    yield from of_tree(old.at / "source", new.at / "source", name, what=What.SOURCE, weight=Weight.UPKEEP)


def _of_spans(old: tuple[int, int], new: tuple[int, int]) -> Weight:
    is_wider = new[0] <= old[0] and old[1] <= new[1]
    is_narrower = old[0] <= new[0] and new[1] <= old[1]
    return Weight.MORE if is_wider else Weight.LESS if is_narrower else Weight.OTHER


def _states(old: Mapping[str, Word], new: Mapping[str, Word], where: str) -> Iterator[Difference]:
    """Tell what is taken for granted, or asked for, of the vehicle: what is no longer asked for guards nothing."""
    for name in dict.fromkeys((*old, *new)):
        first, second = old.get(name), new.get(name)
        if first is not None and second is not None:
            if first.text != second.text:
                text = f"{where}, {name} is {second.text}, before {first.text}."
                yield Difference(What.STATE, Weight.OTHER, first.at, second.at, text)
        elif first is not None:
            text = f"{where}, nothing is said any more of {name}; before, it was {first.text}."
            yield Difference(What.STATE, Weight.LOST, first.at, None, text)
        elif second is not None:
            yield Difference(What.STATE, Weight.GAINED, None, second.at, f"{where}, {name} now has to be {second.text}.")


def _sources(old: Procedure, new: Procedure) -> Iterator[Difference]:
    before, now = ({word.text: word.at for word in flow.sources} for flow in (old, new))
    for name, at in before.items():
        if name not in now:
            yield Difference(What.SOURCE, Weight.UPKEEP, at, None, f"It no longer rests on the source '{name}'.")
    for name, at in now.items():
        if name not in before:
            yield Difference(What.SOURCE, Weight.UPKEEP, None, at, f"It now rests on the source '{name}' too.")


def _called(old: Flow, new: Flow, tops: Tops) -> Iterator[Difference]:
    if old.id != new.id:
        yield Difference(What.RENAMED, Weight.UPKEEP, old.at, new.at, f"'{old.id}' is now called '{new.id}'.")
    if old.version != new.version:
        is_back = " It goes back." if new.version < old.version else ""
        text = f"Version {new.version}, before {old.version}.{is_back}"
        yield Difference(What.VERSION, Weight.UPKEEP, *tops.places("version"), text)


def of_vouching(old: Flow, new: Flow, tops: Tops, found: Iterable[Difference]) -> Iterator[Difference]:
    """Tell which version and review do not go with what was found to differ."""
    if all(each.what in _ABOUT for each in found):
        return
    if old.version == new.version:
        text = f"The content differs and the version is {new.version} in both: printed sheets cannot be told apart."
        yield Difference(What.CHANGED_WITHOUT_VERSION, Weight.UPKEEP, *tops.places("version"), text)
    if isinstance(old, Procedure) and isinstance(new, Procedure) and new.reviewed is not None and is_same_review(old, new):
        text = f"The review by {new.reviewed.by} of {new.reviewed.date} saw another text."
        yield Difference(What.CHANGED_SINCE_REVIEW, Weight.UPKEEP, *tops.places("reviewed"), text)


def is_same_review(old: Procedure, new: Procedure) -> bool:
    """Whether both versions name one review, or none."""
    signed = [(each.by, each.date, each.of) if each is not None else None for each in (old.reviewed, new.reviewed)]
    return signed[0] == signed[1]


def _reviewed_with(old: Procedure, new: Procedure) -> Iterator[Difference]:
    """Tell which blocks are followed in another version than the one that the review saw."""
    if not is_same_review(old, new) or new.reviewed is None:
        return
    calls = _calls(old), _calls(new)
    for name, (version, at) in calls[1].items():
        before = calls[0].get(name)
        if before is not None and before[0] != version:
            text = f"The review by {new.reviewed.by} of {new.reviewed.date} saw '{name}' {before[0]}, and now it is {version}."
            yield Difference(What.BLOCK_CHANGED_SINCE_REVIEW, Weight.UPKEEP, before[1], at, text)


def _calls(flow: Procedure) -> dict[str, tuple[int, Place]]:
    found: dict[str, tuple[int, Place]] = {}
    for step in flow.steps.values():
        if step.follow is not None:
            found.setdefault(step.follow.block, (step.follow.version, step.follow.at))
    for end in flow.ends.values():
        if end.through:
            found.setdefault(end.through, (end.through_version, end.at / "through"))
    return found
