"""A step in two versions: what differs in its cautions, prompt, lines, tries, rounds, block and texts."""

from collections.abc import Iterator

from proclint.analysis import Shelf
from proclint.compare import guards, said
from proclint.compare.amounts import meant
from proclint.compare.attempts import attempts
from proclint.compare.difference import Difference, Weight, What, of_bound, of_presence
from proclint.compare.lines import LinePairs, of_pair, paired
from proclint.compare.pair import Pair, Places
from proclint.compare.travels import of_travels
from proclint.model import Follow, Loop, Prompt, Step, Word


def of_steps(pair: Pair) -> Iterator[Difference]:
    """Tell how the steps differ that are in both versions; what only went from one to another is told as that."""
    for name, old in pair.old.flow.steps.items():
        other = pair.new.flow.steps.get(name)
        if other is not None:
            yield from _of_step(old, other, pair)
            yield from _of_lines(paired(old.lines, other.lines), name, pair)
    yield from of_travels(pair.travels)


def _of_lines(lines: LinePairs, step: str, pair: Pair) -> Iterator[Difference]:
    for old, new in (*lines.pairs, *lines.moved):
        yield from of_pair(old, new, step, pair.catalogue)
    for old, new in lines.moved:
        text = f"In '{step}', '{new.text}' now comes at another place among the lines."
        yield Difference(What.ACTION, Weight.OTHER, old.at, new.at, text)


def _of_step(old: Step, new: Step, pair: Pair) -> Iterator[Difference]:
    yield from _tries(old, new, pair)
    yield from _prompt(old, new)
    yield from _follow(old, new, (pair.old.shelf, pair.new.shelf))
    yield from _rounds(old.loop, new.loop, new)
    yield from _meanwhile(old, new, pair)
    yield from _texts(old, new)


def _tries(old: Step, new: Step, pair: Pair) -> Iterator[Difference]:
    if old.tries == new.tries:
        return
    at = pair.places(old.at, new.at, "tries")
    now, before = (str(each) if each is not None else "no limit" for each in (new.tries, old.tries))
    text = f"Retry limit of '{new.name}' {before} to {now}{_reached(old, new, pair)}."
    yield Difference(What.TRIES, of_bound(old.tries, new.tries), *at, text)


def _reached(old: Step, new: Step, pair: Pair) -> str:
    """Say how often the step that is tried again can be done in all, where that differs."""
    known = pair.old.written, pair.new.written
    counts = [(name, attempts(known[0], name), attempts(known[1], name)) for name in _tried(old.name, pair)]
    differing = [each for each in counts if each[1] != each[2]]
    if not differing:
        return ""
    name, before, now = max(differing, key=lambda each: (each[2] is None, each[2] or 0, *_matters(each[0], new, pair)))
    if now is None:
        return f": now nothing limits the tries of '{name}'"
    what = f": now {now} {'try' if now == 1 else 'tries'} of '{name}' can be reached"
    return f"{what}, before {before if before is not None else 'there was no limit'}"


def _matters(name: str, retried_by: Step, pair: Pair) -> tuple[bool, bool]:
    """Say what makes a step the one to tell of: it is what is tried again, and it writes."""
    return name != retried_by.name, any(line.action.writes for line in pair.new.flow.steps[name].lines)


def _tried(name: str, pair: Pair) -> tuple[str, ...]:
    """Give what a step may try again, in file order: the steps whose failing leads to it; and the step itself."""
    found: dict[str, None] = {}
    for study in (pair.new, pair.old):
        for other, each in study.written.steps.items():
            fails = any(leaving.target == name and leaving.is_failing for leaving in each.exits)
            if fails and other != name and other in pair.old.flow.steps and other in pair.new.flow.steps:
                found[other] = None
    return (*found, name)


def _prompt(old: Step, new: Step) -> Iterator[Difference]:
    first, second = old.prompt, new.prompt
    if first is None or second is None:
        if first is not None:
            yield Difference(What.PROMPT, Weight.OTHER, first.at, None, f"The prompt '{first.says}' is gone from '{new.name}'.")
        elif second is not None:
            yield Difference(What.PROMPT, Weight.OTHER, None, second.at, f"'{new.name}' now has the prompt '{second.says}'.")
        return
    at = first.at, second.at
    if _answer(first) != _answer(second):
        text = f"At the prompt of '{new.name}' the answer is {_answer_said(second)}, before {_answer_said(first)}."
        yield Difference(What.PROMPT, _of_answers(first, second), *at, text)
    if first.says != second.says:
        yield Difference(What.PROMPT, Weight.OTHER, *at, f"The screen says '{second.says}', before '{first.says}'.")
    if first.choices != second.choices:
        text = f"The choices at '{new.name}' are {_choices(second)}, before {_choices(first)}."
        yield Difference(What.PROMPT, Weight.OTHER, *at, text)
    if first.means != second.means:
        text = f"The note on the prompt of '{new.name}' reads {said.listed(second.means)}, before {said.listed(first.means)}."
        yield Difference(What.TEXT, Weight.WORDS, *at, text)


def _answer(prompt: Prompt) -> tuple[str, str]:
    return prompt.answer, prompt.choices.get(prompt.answer, "")


def _answer_said(prompt: Prompt) -> str:
    effect = prompt.choices.get(prompt.answer, "")
    return f"'{prompt.answer}' ({effect})" if effect else said.listed(prompt.answer, none="none")


def _choices(prompt: Prompt) -> str:
    return said.words(f"'{name}' ({effect})" for name, effect in prompt.choices.items())


def _of_answers(old: Prompt, new: Prompt) -> Weight:
    before, now = (_answer(each)[1] in guards.DROPPING for each in (old, new))
    return of_presence(is_guard=False, adds=before != now, is_gone=before)


def _follow(old: Step, new: Step, shelves: tuple[Shelf, Shelf]) -> Iterator[Difference]:
    first, second = old.follow, new.follow
    if first is None or second is None:
        for step, follow, shelf in ((old, first, shelves[0]), (new, second, shelves[1])):
            if follow is not None:
                is_gone = follow is first
                weight = guards.weight_of_step(step._replace(cautions=()), shelf, is_gone=is_gone)
                at: Places = (follow.at, None) if is_gone else (None, follow.at)
                text = f"'{new.name}' {'no longer' if is_gone else 'now'} follows '{follow.block}'."
                yield Difference(What.BLOCK, weight, *at, text)
        return
    if (first.block, first.version) != (second.block, second.version):
        text = f"'{new.name}' follows {_call(second)}, before {_call(first)}."
        yield Difference(What.BLOCK, Weight.OTHER, first.at, second.at, text)
    if _meant(first) != _meant(second):
        text = f"'{new.name}' follows '{second.block}' with {_given(second)}, before with {_given(first)}."
        yield Difference(What.BLOCK, Weight.OTHER, first.at, second.at, text)


def _call(follow: Follow) -> str:
    return f"'{follow.block}' {follow.version or 'of any version'}"


def _meant(follow: Follow) -> dict[str, str]:
    return {name: meant(" ".join(words)) for name, words in follow.given.items()}


def _given(follow: Follow) -> str:
    return said.words(f"{name} = {' and '.join(words)}" for name, words in sorted(follow.given.items()))


def _rounds(old: Loop | None, new: Loop | None, step: Step) -> Iterator[Difference]:
    before, now = (_rounds_said(loop) for loop in (old, new))
    if before != now:
        at = (old.at if old is not None else None, new.at if new is not None else None)
        yield Difference(What.LOOP, Weight.OTHER, *at, f"'{step.name}' is done {now}, before {before}.")


def _rounds_said(loop: Loop | None) -> str:
    if loop is None:
        return "once"
    return f"for each key {loop.letter} of {' and '.join(loop.groups)}" if loop.letter else f"{loop.times} times"


def _meanwhile(old: Step, new: Step, pair: Pair) -> Iterator[Difference]:
    lines = paired(old.meanwhile, new.meanwhile)
    yield from _of_lines(lines, new.name, pair)
    for line in lines.removed:
        weight = guards.weight_of(line, pair.catalogue, is_gone=True)
        text = f"During '{new.name}', '{line.text}' is no longer done."
        yield Difference(What.ACTION, weight, line.at, None, text)
    for line in lines.added:
        weight = guards.weight_of(line, pair.catalogue, is_gone=False)
        yield Difference(What.ACTION, weight, None, line.at, f"During '{new.name}', '{line.text}' is now done as well.")


def _texts(old: Step, new: Step) -> Iterator[Difference]:
    at = old.at, new.at
    if old.instruction != new.instruction:
        text = f"The instruction of '{new.name}' reads {said.listed(new.instruction)}, before {said.listed(old.instruction)}."
        yield Difference(What.TEXT, Weight.WORDS, *at, text)
    if old.ask != new.ask:
        text = f"'{new.name}' asks {said.listed(new.ask)}, before {said.listed(old.ask)}."
        yield Difference(What.TEXT, Weight.OTHER, *at, text)
    if old.takes != new.takes:
        text = f"'{new.name}' takes {said.duration(new.takes)}, before {said.duration(old.takes)}."
        yield Difference(What.TIME, Weight.OTHER, *at, text)
    if _texts_of(old.sources) != _texts_of(new.sources):
        text = f"The source of '{new.name}' is {_sources(new.sources)}, before {_sources(old.sources)}."
        yield Difference(What.SOURCE, Weight.UPKEEP, *at, text)


def _texts_of(words: tuple[Word, ...]) -> list[str]:
    return [word.text for word in words]


def _sources(words: tuple[Word, ...]) -> str:
    return said.words(_texts_of(words))
