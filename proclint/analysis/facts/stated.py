"""What a procedure states of its vehicles, its keys and its job: claims that are held against the facts and never weighed."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from proclint.model import Block, KeyGroup, Line, Procedure, Step, Vehicles, Word, fields
from proclint.source import Place

_NEW_LIST = frozenset({"replace-all", "erase-all"})
_MODES = frozenset({"add", "replace-all"})
_MINUTE = 60_000
_KEYS = frozenset({"key", "valet", "fob"})
# The lines of each verb, each with its step.
_Done: TypeAlias = Mapping[str, Sequence[tuple[Step, Line]]]


class Stated(NamedTuple):
    """A value of an attribute or quantity as a facts table would write it, and where the procedure says it.

    `market` narrows it to one market.
    """

    attribute: str
    text: str
    at: Place
    market: str = ""


class Job(NamedTuple):
    """What a procedure does on which vehicles, from which sources, and what it states of them."""

    id: str
    at: Place
    task: str
    method: str
    vehicles: tuple[Vehicles, ...]
    sources: tuple[Word, ...]
    stated: tuple[Stated, ...]


def job_of(procedure: Procedure, blocks: Mapping[str, Block]) -> Job:
    """Give the job of a procedure, with what it states: places, learning, parts, codes, waits, how many keys, how long."""
    done = _by_verb(procedure.steps.values())
    stated = (
        *_places(procedure),
        *_learning(procedure, done),
        *_parts(procedure),
        *_codes(done),
        *_waits(procedure, done),
        *_learned_apart(procedure, done),
        *_new_list(procedure, done),
        *_on_board(procedure),
        *_time(procedure, blocks),
    )
    return Job(procedure.id, procedure.at, procedure.task, procedure.method, procedure.vehicles, procedure.sources, stated)


def _by_verb(steps: Iterable[Step]) -> _Done:
    found: dict[str, list[tuple[Step, Line]]] = defaultdict(list)
    for step in steps:
        for line in step.lines:
            found[line.action.verb].append((step, line))
    return found


def _places(procedure: Procedure) -> Iterator[Stated]:
    for kind, word in procedure.slots.items():
        yield Stated(f"{kind}-cap", word.text, word.at)


def _learning(procedure: Procedure, done: _Done) -> Iterator[Stated]:
    # A table says what happens to keys; what happens to remotes alone is another list.
    if not procedure.learning or "remote" in procedure.task:
        return
    answers = [line for _, line in done.get("answer", ()) if line.words.get("choice") in _MODES]
    chosen = {line.words["choice"] for line in answers}
    if procedure.learning == "by-prompt" and len(chosen) == 1:
        yield Stated("learning", chosen.pop(), answers[0].at)
    else:
        yield Stated("learning", procedure.learning, procedure.at_of("learning"))


def _parts(procedure: Procedure) -> Iterator[Stated]:
    for group in procedure.keys.values():
        if group.head:
            yield Stated("head-kind", group.head, group.at / "head")
        yield from _by_market("part-frequency", group, "frequency", " MHz")
        if not group.registered:
            yield from _by_market("part-chip-family", group, "chip", "")
            once = group.details.get("one-time")
            if once is not None:
                yield Stated("one-time-part", once.text, once.at)


def _by_market(attribute: str, group: KeyGroup, field: str, unit: str) -> Iterator[Stated]:
    """Give a value that a group has in all markets, or one for each."""
    word = group.details.get(field)
    if word is not None and word.text:
        yield Stated(attribute, word.text.removesuffix(unit), word.at)
    elif word is not None:
        for market, at in word.at.fields():
            yield Stated(attribute, fields.text(at.node).removesuffix(unit), at, market)


def _codes(done: _Done) -> Iterator[Stated]:
    for _, line in done.get("enter-code", ()):
        yield Stated("code-length", line.words.get("digits", ""), line.at)
    for _, line in done.get("wait-lockout", ()):
        if line.takes is not None:
            yield Stated("lockout-waited", _seconds(line.takes.least), line.at)


def _waits(procedure: Procedure, done: _Done) -> Iterator[Stated]:
    waits = done.get("wait-access", ())
    for _, line in waits:
        if line.takes is not None:
            yield Stated("wait-written-least", _seconds(line.takes.least), line.at)
            yield Stated("wait-written-most", _seconds(line.takes.most), line.at)
        group = procedure.keys.get(line.words.get("key", "")[:1])
        if group is not None:
            yield Stated("key-during-wait", "original|any" if group.registered else "new|any", line.at)
    # A fallback begins the waits anew; what counts is how many there are on the main line.
    main = [(step, line) for step, line in waits if not step.is_fallback] or waits[:1]
    if main:
        count = sum((step.loop.times or 1 if step.loop is not None else 1) * line.repeat for step, line in main)
        yield Stated("waits-written", str(count), main[0][1].at)


def _seconds(milliseconds: int) -> str:
    return _thousandths(milliseconds, 1000)


def _thousandths(number: int, unit: int) -> str:
    """Give a whole number in units of so many, with at most three decimals."""
    whole, rest = divmod(number * 1000 // unit, 1000)
    return f"{whole}.{rest:03}" if rest else str(whole)


def _learned_apart(procedure: Procedure, done: _Done) -> Iterator[Stated]:
    """Say whether the buttons of new integrated heads have a learn of their own, at that learn or at the head."""
    new = {each.letter: each for each in procedure.keys.values() if not each.registered and each.head == "integrated"}
    learns = [(step, line) for step, line in done.get("learn", ()) if new.keys() & _groups(step, line)]
    apart = next((line for _, line in learns if line.words.get("kind") == "remote"), None)
    if apart is not None:
        yield Stated("remote-learned-apart", "true", apart.at)
    elif learns:
        group = next(each for letter, each in new.items() if letter in _groups(*learns[0]))
        yield Stated("remote-learned-apart", "false", group.at / "head")


def _groups(step: Step, line: Line) -> frozenset[str]:
    """Give the letters of the groups of which a line's key may be."""
    letter = line.words.get("key", "")[:1]
    return frozenset(step.loop.groups) if step.loop is not None and step.loop.letter == letter else frozenset({letter})


def _new_list(procedure: Procedure, done: _Done) -> Iterator[Stated]:
    """Say how many keys a list that is begun anew is shown; where all keys were lost, no original is among them."""
    is_lost = procedure.task.startswith("all-") and procedure.task.endswith("-lost")
    if not (is_lost or procedure.learning == "replace-all" or _clears(done)) or "remote" in procedure.task:
        return
    new = [each for each in procedure.keys.values() if not each.registered and each.kind in _KEYS]
    known = [each for each in procedure.keys.values() if each.registered and each.kind in _KEYS]
    group = next(iter((*new, *known)), None)
    if group is not None:
        yield Stated("new-keys", _range(new), group.at / "here")
        yield Stated("originals-present", "0" if is_lost else _range(known), group.at / "here")


def _clears(done: _Done) -> bool:
    erases = (line.words.get("kinds") in ("keys", "fobs") for _, line in done.get("erase", ()))
    return any(erases) or any(line.words.get("choice") in _NEW_LIST for _, line in done.get("answer", ()))


def _range(groups: Iterable[KeyGroup]) -> str:
    spans = [each.here for each in groups]
    return f"{sum(least for least, _ in spans)}-{sum(most for _, most in spans)}"


def _on_board(procedure: Procedure) -> Iterator[Stated]:
    if procedure.method == "on-board" and procedure.task.startswith("add-") and "remote" not in procedure.task:
        known = [each for each in procedure.keys.values() if each.registered and each.kind in _KEYS]
        at = known[0].at / "here" if known else procedure.at_of("keys")
        yield Stated("method", procedure.method, procedure.at_of("method"))
        yield Stated("originals-working", _range(known), at)


def _time(procedure: Procedure, blocks: Mapping[str, Block]) -> Iterator[Stated]:
    """Say how long the job takes usually, and whether support is connected on its main line, in a block or by itself."""
    at = procedure.at_of("takes")
    takes = fields.duration(at.node) if fields.has(procedure.top, "takes") else None
    if takes is not None:
        main = [step for step in procedure.steps.values() if not step.is_fallback]
        followed = (blocks.get(step.follow.block) for step in main if step.follow is not None)
        inner = (step for block in followed if block is not None for step in block.steps.values())
        supports = any(line.verb == "connect-support" for step in (*main, *inner) for line in step.lines)
        usual = takes.usual if takes.usual is not None else (takes.least + takes.most) // 2
        yield Stated("job-takes", _thousandths(usual, _MINUTE), at)
        yield Stated("support-connected", "true" if supports else "false", at)
