"""What a procedure states of its vehicles, its keys and its job: claims that are held against the facts and never weighed."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from proclint.model import Block, KeyGroup, Line, Procedure, Step, Vehicles, Word, fields
from proclint.source import Place

_NEW_LIST = frozenset({"replace-all", "erase-all"})
_MODES = frozenset({"add", "replace-all"})
_MINUTE = 60_000
_KEYS = frozenset({"key", "valet", "fob"})


class Stated(NamedTuple):
    """A value of an attribute or quantity as a facts table would write it, and where the procedure says it.

    `market` narrows it to one market.
    """

    attribute: str
    text: str
    at: Place
    market: str = ""


@dataclass(frozen=True, slots=True)
class Job:
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
    parts = (_places, _learning, _parts, _codes, _waits, _learned_apart, _new_list, _on_board)
    stated = (*(each for part in parts for each in part(procedure)), *_time(procedure, blocks))
    return Job(procedure.id, procedure.at, procedure.task, procedure.method, procedure.vehicles, procedure.sources, stated)


def _places(procedure: Procedure) -> Iterator[Stated]:
    for kind, word in procedure.slots.items():
        yield Stated(f"{kind}-cap", word.text, word.at)


def _learning(procedure: Procedure) -> Iterator[Stated]:
    # A table says what happens to keys; what happens to remotes alone is another list.
    if not procedure.learning or "remote" in procedure.task:
        return
    answers = [line for _, line in lines_of(procedure.steps.values(), "answer") if line.words.get("choice") in _MODES]
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
        for market, at in fields.places_in(word.at):
            yield Stated(attribute, fields.text(at.node).removesuffix(unit), at, market)


def lines_of(steps: Iterable[Step], *verbs: str) -> Iterator[tuple[Step, Line]]:
    """Give the lines of some verbs, each with its step."""
    for step in steps:
        for line in step.lines:
            if line.verb in verbs:
                yield step, line


def _codes(procedure: Procedure) -> Iterator[Stated]:
    for _, line in lines_of(procedure.steps.values(), "enter-code"):
        yield Stated("code-length", line.words.get("digits", ""), line.at)
    for _, line in lines_of(procedure.steps.values(), "wait-lockout"):
        if line.takes is not None:
            yield Stated("lockout-waited", _seconds(line.takes.least), line.at)


def _waits(procedure: Procedure) -> Iterator[Stated]:
    waits = list(lines_of(procedure.steps.values(), "wait-access"))
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


def _learned_apart(procedure: Procedure) -> Iterator[Stated]:
    """Say whether the buttons of new integrated heads have a learn of their own, at that learn or at the head."""
    new = {each.letter: each for each in procedure.keys.values() if not each.registered and each.head == "integrated"}
    learns = [(step, line) for step, line in lines_of(procedure.steps.values(), "learn") if new.keys() & _groups(step, line)]
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


def _new_list(procedure: Procedure) -> Iterator[Stated]:
    """Say how many keys a list that is begun anew is shown; where all keys were lost, no original is among them."""
    is_lost = procedure.task.startswith("all-") and procedure.task.endswith("-lost")
    if not (is_lost or procedure.learning == "replace-all" or _clears(procedure)) or "remote" in procedure.task:
        return
    new = [each for each in procedure.keys.values() if not each.registered and each.kind in _KEYS]
    known = [each for each in procedure.keys.values() if each.registered and each.kind in _KEYS]
    group = next(iter((*new, *known)), None)
    if group is not None:
        yield Stated("new-keys", _range(new), group.at / "here")
        yield Stated("originals-present", "0" if is_lost else _range(known), group.at / "here")


def _clears(procedure: Procedure) -> bool:
    steps = procedure.steps.values()
    erases = (line.words.get("kinds") in ("keys", "fobs") for _, line in lines_of(steps, "erase"))
    return any(erases) or any(line.words.get("choice") in _NEW_LIST for _, line in lines_of(steps, "answer"))


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
        supports = any(True for _ in lines_of((*main, *inner), "connect-support"))
        usual = takes.usual if takes.usual is not None else (takes.least + takes.most) // 2
        yield Stated("job-takes", _thousandths(usual, _MINUTE), at)
        yield Stated("support-connected", "true" if supports else "false", at)
